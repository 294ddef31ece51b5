package islet.live.page;

import com.google.gson.JsonObject;
import com.microsoft.playwright.CDPSession;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.ColorScheme;
import islet.contract.BenchCommand;
import islet.contract.BenchMargin;
import islet.contract.BenchOrder;
import islet.contract.BenchTelemetry;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.Port;
import islet.contract.Topics;
import islet.mqtt.PahoBroker;
import islet.mqtt.PahoSettings;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.ToDoubleFunction;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Does the page's memory grow with the time of a run? A live run with the page in Chromium, in
 * which the utility goes and comes and faults begin and end; from time to time the heap after a
 * forced collection, nodes, listeners and the browser's processor time are measured.
 *
 * <pre>
 *   islet.live.page.PageMemoryTrial SPEED SITE_HOURS [ARRANGEMENT]
 * </pre>
 *
 * <p>With an arrangement it measures the page of two sites, that one beside the demo's own.
 *
 * <p>Devices and supervisor speak by site time, so at any speed the page gets all that they say in
 * those hours. The bench speaks by the wall's; what it says is said again here SPEED − 1 times, so
 * that the page gets as much of it in an hour of site time as at speed 1. What the page keeps up to
 * a bound is filled before anything is judged.
 *
 * <p>Judged is a straight line through what was measured after the first half hour of site time, or
 * after the first quarter of a run of less than two hours: what it rises by must be no more than
 * {@value #HEAP_MB_PER_HOUR} MB of heap, {@value #NODES_PER_HOUR} nodes and {@value
 * #LISTENERS_PER_HOUR} listeners for each hour of site time, or {@value #HEAP_MB} MB, {@value
 * #NODES} nodes and {@value #LISTENERS} listeners in all, whichever is more: so much is noise. Exit
 * code 1 when it is more.
 */
final class PageMemoryTrial {

  static final double HEAP_MB_PER_HOUR = 0.2;
  static final double NODES_PER_HOUR = 10;
  static final double LISTENERS_PER_HOUR = 2;
  static final double HEAP_MB = 0.5;
  static final double NODES = 100;
  static final double LISTENERS = 20;

  private static final String SCENARIO = "config/scenarios/winter-day.yaml";
  private static final Pattern BROKER = Pattern.compile("Broker at (tcp://\\S+?)\\. ");
  private static final Message NO_WILL = Message.of("", new byte[0], 0, false);

  /** Whoever says again what the bench has said counts from here, so as to know it again. */
  private static final long SAID_AGAIN = 1L << 40;

  /** As many lines as the page keeps of the sequence of events, and some; it shows the newest. */
  private static final int EVENTS = 450;

  private static final int SAMPLES = 60;
  private static final double JUDGED_AFTER_H = 0.5;
  private static final double TICKS_PER_SECOND = 100;

  /** What happens in turn, each so many s of site time after the one before. */
  private static final List<String> HAPPENINGS =
      List.of(
          "{\"utility\":{\"outage\":\"PT30S\"}}",
          "{\"utility\":{\"sag\":0.6,\"for\":\"PT0.4S\"}}",
          "{\"fault\":{\"kind\":\"sensor-bias\",\"device\":\"regulator\","
              + "\"signal\":\"bus.voltage_V\",\"by\":5},\"for\":\"PT1M\"}",
          "{\"sky\":{\"cloud\":0.2,\"for\":\"PT1M\"}}",
          "{\"load\":{\"loadStep\":\"400 W\",\"for\":\"PT1M\"}}",
          "{\"fault\":{\"kind\":\"aux-contact-lies\"},\"for\":\"PT30S\"}");

  private static final double EVERY_S = 200;
  private static final String TELEMETRY = "/bench/telemetry";
  private static final String MARGIN = "/bench/margin";

  /**
   * What was measured at once.
   *
   * @param cpu share of one core that all processes of the browser took since the sample before
   */
  record Sample(
      double siteH, double heapMb, double nodes, double listeners, long delivered, double cpu) {}

  /** What a trial came to. */
  record Outcome(List<Sample> samples, List<String> grown) {}

  private final double speed;
  private final double hours;
  private final Optional<String> leak;
  private final PrintStream out;
  private final AtomicLong saidAgain = new AtomicLong();
  private final Topics topics = new Topics("ferry-landing");
  private volatile long siteMicros;
  private long startMicros;
  private long orders;
  private long lastTicks;
  private long lastNanos;

  /**
   * A trial.
   *
   * @param leak a script that lets the page's memory grow, to see that it is found
   */
  PageMemoryTrial(double speed, double hours, Optional<String> leak, PrintStream out) {
    this.speed = speed;
    this.hours = hours;
    this.leak = leak;
    this.out = out;
  }

  /** The long form. */
  public static void main(String[] args) throws Exception {
    double speed = args.length > 0 ? Double.parseDouble(args[0]) : 5;
    double hours = args.length > 1 ? Double.parseDouble(args[1]) : 8;
    List<String> beside = args.length > 2 ? List.of("--beside", args[2]) : List.of();
    PageMemoryTrial trial = new PageMemoryTrial(speed, hours, Optional.empty(), System.out);
    Outcome outcome = trial.run(SAMPLES, beside);
    outcome.grown().forEach(System.out::println);
    System.exit(outcome.grown().isEmpty() ? 0 : 1);
  }

  /**
   * Runs it.
   *
   * @param count how often it measures
   * @param more what the command is given besides
   */
  Outcome run(int count, List<String> more) throws Exception {
    List<Sample> samples = new ArrayList<>();
    List<String> command = new ArrayList<>(List.of("live"));
    command.addAll(List.of(PageRun.ROOT.resolve(SCENARIO).toString(), "--page", "0"));
    command.addAll(more);
    try (PageRun run = PageRun.of(command.toArray(String[]::new));
        Chromium chromium = new Chromium();
        PahoBroker broker = new PahoBroker(brokerOf(run.said()), PahoSettings.USUAL)) {
      Port port = listen(broker);
      Page page = chromium.open(run.url(), 1280, 720, ColorScheme.LIGHT, COUNTS);
      Browsing.until(page, "document.querySelector('#mode, #mode-a')?.dataset.mode", 20);
      CDPSession inside = page.context().newCDPSession(page);
      for (int i = 0; i < EVENTS; i++) {
        order(port, BenchOrder.BOOKMARK, 0, "filling " + i);
        page.waitForTimeout(2);
      }
      Browsing.until(page, "document.querySelectorAll('.scroll.tall tr').length >= 100", 60);
      leak.ifPresent(page::evaluate);
      order(port, BenchOrder.SPEED, speed, "");
      startMicros = siteMicros;
      lastTicks = browserTicks();
      lastNanos = System.nanoTime();
      out.println("  site h   heap MB   nodes  listeners     frames  processor");
      double next = 0;
      double happens = EVERY_S / 3600;
      int happened = 0;
      while (samples.size() <= count) {
        page.waitForTimeout(50);
        double now = (siteMicros - startMicros) / 3.6e9;
        if (now >= happens) {
          happens += EVERY_S / 3600;
          order(port, BenchOrder.EVENT, 0, HAPPENINGS.get(happened++ % HAPPENINGS.size()));
        }
        if (now >= next) {
          next += hours / count;
          Sample sample = sample(page, inside, now);
          samples.add(sample);
          out.println(line(sample));
        }
      }
      List<String> breaches = chromium.breaches();
      page.context().close();
      List<String> grown = new ArrayList<>(judge(samples));
      breaches.forEach(breach -> grown.add("The page did what it must not: " + breach));
      out.printf(
          Locale.ROOT,
          "%d messages of the bench were said again, %d things happened; keeping speed %s.%n",
          saidAgain.get(),
          happened,
          speed);
      return new Outcome(samples, grown);
    }
  }

  /** Counts frames of the WebSocket before the page opens it. */
  private static final String COUNTS =
      "{ const Real = WebSocket; window.delivered = 0; window.WebSocket = class extends Real {"
          + " constructor(...a) { super(...a);"
          + " this.addEventListener('message', () => { window.delivered++; }); } }; }";

  private static String brokerOf(String said) {
    Matcher matcher = BROKER.matcher(said);
    if (!matcher.find()) {
      throw new IllegalStateException("The run has not said where its broker is: " + said);
    }
    return matcher.group(1);
  }

  private Port listen(PahoBroker broker) throws Exception {
    Repeater repeater = new Repeater();
    Port port = broker.connect("memory-trial", NO_WILL, repeater);
    repeater.port = Optional.of(port);
    port.subscribe("islet/v1/+/bench/#", 0);
    return port;
  }

  /** Says again what the bench says by the wall's clock. */
  private final class Repeater implements Port.Listener {
    private volatile Optional<Port> port = Optional.empty();

    @Override
    public void message(Message message) {
      try {
        if (message.topic().endsWith(TELEMETRY)) {
          BenchTelemetry m = BenchTelemetry.LAYOUT.decode(message.payload());
          if (m.seq() < SAID_AGAIN) {
            siteMicros = m.at();
            again(message, m.seq());
          }
        } else if (message.topic().endsWith(MARGIN)) {
          BenchMargin m = BenchMargin.LAYOUT.decode(message.payload());
          if (m.seq() < SAID_AGAIN) {
            again(message, m.seq());
          }
        }
      } catch (MalformedException e) {
        throw new IllegalStateException(e);
      }
    }

    private void again(Message message, long seq) {
      String mark = "\"seq\":" + seq + ",";
      for (int i = 1; i < Math.round(speed); i++) {
        String text = message.text().replace(mark, "\"seq\":" + (SAID_AGAIN * i + seq) + ",");
        byte[] payload = text.getBytes(StandardCharsets.UTF_8);
        port.ifPresent(p -> p.publish(Message.of(message.topic(), payload, 0, false)));
        saidAgain.incrementAndGet();
      }
    }

    @Override
    public void link(boolean up) {}
  }

  private void order(Port port, BenchOrder order, double number, String text) {
    byte[] payload =
        BenchCommand.LAYOUT.encode(new BenchCommand(++orders, siteMicros, order, number, text));
    port.publish(Message.of(topics.of(Device.BENCH, Kind.COMMAND), payload, 1, false));
  }

  private Sample sample(Page page, CDPSession inside, double siteH) throws IOException {
    inside.send("HeapProfiler.collectGarbage");
    JsonObject heap = inside.send("Runtime.getHeapUsage");
    JsonObject counters = inside.send("Memory.getDOMCounters");
    long ticks = browserTicks();
    long nanos = System.nanoTime();
    double cpu = (ticks - lastTicks) / TICKS_PER_SECOND / ((nanos - lastNanos) / 1e9);
    lastTicks = ticks;
    lastNanos = nanos;
    return new Sample(
        siteH,
        heap.get("usedSize").getAsDouble() / 1e6,
        counters.get("nodes").getAsDouble(),
        counters.get("jsEventListeners").getAsDouble(),
        ((Number) page.evaluate("window.delivered")).longValue(),
        cpu);
  }

  /** Processor time of every process of the browser, by {@code /proc/PID/stat}. */
  private static long browserTicks() throws IOException {
    long ticks = 0;
    for (ProcessHandle child : ProcessHandle.current().descendants().toList()) {
      if (child.info().command().orElse("").contains("chromium")) {
        try {
          String stat = Files.readString(Path.of("/proc/" + child.pid() + "/stat"));
          String[] fields = stat.substring(stat.lastIndexOf(')') + 2).split(" ", -1);
          ticks += Long.parseLong(fields[11]) + Long.parseLong(fields[12]);
        } catch (NoSuchFileException e) {
          // It has just ended.
        }
      }
    }
    return ticks;
  }

  private static String line(Sample s) {
    return String.format(
        Locale.ROOT,
        "%8.3f %9.2f %7.0f %10.0f %10d %8.1f %%",
        s.siteH(),
        s.heapMb(),
        s.nodes(),
        s.listeners(),
        s.delivered(),
        100 * s.cpu());
  }

  private List<String> judge(List<Sample> samples) {
    double from = Math.min(JUDGED_AFTER_H, hours / 4);
    List<Sample> judged = samples.stream().filter(s -> s.siteH() >= from).toList();
    List<String> grown = new ArrayList<>();
    grown(judged, "heap, MB", Sample::heapMb, HEAP_MB_PER_HOUR, HEAP_MB).ifPresent(grown::add);
    grown(judged, "nodes", Sample::nodes, NODES_PER_HOUR, NODES).ifPresent(grown::add);
    grown(judged, "listeners", Sample::listeners, LISTENERS_PER_HOUR, LISTENERS)
        .ifPresent(grown::add);
    return grown;
  }

  /** What rises by more than it may along the line of least squares. */
  private Optional<String> grown(
      List<Sample> samples, String what, ToDoubleFunction<Sample> of, double perHour, double all) {
    double meanX = samples.stream().mapToDouble(Sample::siteH).average().orElse(0);
    double meanY = samples.stream().mapToDouble(of).average().orElse(0);
    double top = 0;
    double bottom = 0;
    for (Sample sample : samples) {
      top += (sample.siteH() - meanX) * (of.applyAsDouble(sample) - meanY);
      bottom += (sample.siteH() - meanX) * (sample.siteH() - meanX);
    }
    double slope = bottom > 0 ? top / bottom : 0;
    double span = samples.get(samples.size() - 1).siteH() - samples.get(0).siteH();
    double bound = Math.max(perHour * span, all);
    String told =
        String.format(
            Locale.ROOT,
            "%s: %+.3f for each hour of site time, %+.2f over %.2f h; allowed are %.2f.",
            what,
            slope,
            slope * span,
            span,
            bound);
    out.println(told);
    return slope * span > bound ? Optional.of("GROWS  " + told) : Optional.empty();
  }
}
