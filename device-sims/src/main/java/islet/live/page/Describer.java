package islet.live.page;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.EventForm;
import islet.bench.FaultTargets;
import islet.bench.HazardNote;
import islet.bench.Hazards;
import islet.bench.OrderNote;
import islet.bench.PhaseNote;
import islet.bench.Scenario;
import islet.bench.Signal;
import islet.bench.WaitNote;
import islet.contract.AlarmId;
import islet.contract.BenchOrder;
import islet.contract.BenchTelemetry;
import islet.contract.Field;
import islet.contract.Mode;
import islet.contract.OperatorOrder;
import islet.control.ModeRow;
import islet.control.ModeTable;
import islet.control.Phase;
import islet.control.Wait;
import islet.fault.FaultKind;
import islet.live.LiveSession;
import islet.live.Repertoire;
import islet.live.SiteOrScenario;
import islet.live.account.Role;
import islet.live.page.Description.AlarmView;
import islet.live.page.Description.BenchOrderView;
import islet.live.page.Description.EventView;
import islet.live.page.Description.FaultView;
import islet.live.page.Description.FieldView;
import islet.live.page.Description.HazardView;
import islet.live.page.Description.LessonView;
import islet.live.page.Description.NumberView;
import islet.live.page.Description.OrderView;
import islet.live.page.Description.PhaseView;
import islet.live.page.Description.PieceView;
import islet.live.page.Description.RowView;
import islet.live.page.Description.SignalView;
import islet.live.page.Description.TargetView;
import islet.live.page.Description.WaitView;
import islet.site.Site;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * Makes the page's description out of what the code itself goes by: the site, the mode machine's
 * table, the catalogues of alarms, hazards, faults and orders.
 */
public final class Describer {

  private static final ObjectMapper JSON = new ObjectMapper();

  /** What a page is told that shows a run as it goes on. */
  private static final String LIVE = "live";

  /** What a page is told that shows a run that was recorded. */
  private static final String RECORDING = "recording";

  /** What a page is told that looks at a site which runs elsewhere. */
  private static final String SITE = "site";

  /** What a page is told that shows two sites beside each other. */
  private static final String BESIDE = "beside";

  private final SignIn signIn;
  private final Repertoire repertoire;
  private final Lessons lessons;

  /** One for a server. */
  public Describer(SignIn signIn, Repertoire repertoire, Lessons lessons) {
    this.signIn = signIn;
    this.repertoire = repertoire;
    this.lessons = lessons;
  }

  /** The description of what is played, at one site or at two, as JSON in UTF-8. */
  public byte[] json(LiveSession.Present present) {
    return written(present.beside().isEmpty() ? of(present) : beside(present));
  }

  /**
   * The description of a run that was recorded, as JSON in UTF-8: nobody speaks, nothing can be
   * asked.
   *
   * @param name of what was played
   */
  static byte[] recording(String name, Scenario scenario) {
    Site site = scenario.site();
    SiteDescriber describer = new SiteDescriber(scenario.site());
    Description description =
        new Description(
            1,
            name,
            scenario.title(),
            SiteOrScenario.isAlone(scenario),
            instant(scenario.startMicros()),
            instant(scenario.startMicros() + scenario.durationMicros()),
            SignIn.byNothing(""),
            "islet/v1/" + site.id() + "/",
            false,
            describer.view(),
            describer.parts(),
            describer.settings(),
            phases(site),
            rows(),
            waits(),
            Arrays.stream(Mode.values()).map(Mode::name).toList(),
            alarms(),
            hazards(site, scenario),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            Map.of(),
            signals(),
            RECORDING);
    return written(description);
  }

  /**
   * The description of a site that runs elsewhere, as JSON in UTF-8: what it is, and nothing of a
   * run; nobody judges it here, and nothing can be asked. When it is, only the wire tells.
   *
   * @param signIn how the page gets to its broker
   */
  public static byte[] site(Site site, SignIn signIn) {
    SiteDescriber describer = new SiteDescriber(site);
    Description description =
        new Description(
            1,
            "",
            "",
            true,
            "",
            "",
            signIn,
            "islet/v1/" + site.id() + "/",
            false,
            describer.view(),
            describer.parts(),
            describer.settings(),
            phases(site),
            rows(),
            waits(),
            Arrays.stream(Mode.values()).map(Mode::name).toList(),
            alarms(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            List.of(),
            Map.of(),
            signals(),
            SITE);
    return written(description);
  }

  private static byte[] written(Object description) {
    try {
      return JSON.writeValueAsBytes(description);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("records of texts, numbers and lists can be written", e);
    }
  }

  private BesideDescription beside(LiveSession.Present present) {
    Description first = of(present);
    return new BesideDescription(
        first.run(),
        first.scenario(),
        first.title(),
        first.alone(),
        first.startAt(),
        first.endAt(),
        first.mqtt(),
        List.of(first, of(present, present.beside().orElseThrow().scenario())),
        present.beside().orElseThrow().leftOut(),
        BESIDE);
  }

  Description of(LiveSession.Present present) {
    return of(present, present.scenario());
  }

  private Description of(LiveSession.Present present, Scenario scenario) {
    Site site = scenario.site();
    SiteDescriber describer = new SiteDescriber(site);
    return new Description(
        present.run(),
        present.name(),
        scenario.title(),
        SiteOrScenario.isAlone(scenario),
        instant(scenario.startMicros()),
        instant(scenario.startMicros() + scenario.durationMicros()),
        signIn,
        "islet/v1/" + site.id() + "/",
        true,
        describer.view(),
        describer.parts(),
        describer.settings(),
        phases(site),
        rows(),
        waits(),
        Arrays.stream(Mode.values()).map(Mode::name).toList(),
        alarms(),
        hazards(site, scenario),
        faults(site.arrangement()),
        events(site.arrangement()),
        orders(),
        benchOrders(),
        repertoire.pieces().stream().map(Describer::piece).toList(),
        lessons.all().stream()
            .map(lesson -> new LessonView(lesson.name(), lesson.title(), lesson.scenarios()))
            .toList(),
        Map.of(
            "supervisorCommand", List.of(Role.OPERATOR.word()),
            "benchCommand", List.of(Role.BENCH.word())),
        signals(),
        LIVE);
  }

  static String instant(long micros) {
    return Instant.ofEpochMilli(micros / 1_000).toString();
  }

  private static List<PhaseView> phases(Site site) {
    List<PhaseView> out = new ArrayList<>();
    for (Phase phase : Phase.values()) {
      out.add(
          new PhaseView(
              phase.name(),
              phase.mode().name(),
              PhaseNote.of(phase).meaning(),
              PhaseNote.limitS(phase, site.supervision().timeouts())));
    }
    return out;
  }

  private static List<RowView> rows() {
    List<RowView> out = new ArrayList<>();
    for (ModeRow row : ModeTable.rows()) {
      out.add(
          new RowView(out.size() + 1, row.from().name(), row.on(), row.to().name(), row.doing()));
    }
    return out;
  }

  private static List<WaitView> waits() {
    return Arrays.stream(Wait.values())
        .map(wait -> new WaitView(wait.name(), WaitNote.of(wait).what()))
        .toList();
  }

  private static List<AlarmView> alarms() {
    return Arrays.stream(AlarmId.values())
        .map(
            id ->
                new AlarmView(
                    id.name(), id.priority().name(), id.text(), id.consequence(), id.action()))
        .toList();
  }

  private static List<HazardView> hazards(Site site, Scenario scenario) {
    List<String> titles = new Hazards(site, scenario.startMicros(), Map.of()).titles();
    List<HazardView> out = new ArrayList<>();
    for (int i = 0; i < titles.size(); i++) {
      String id = Hazards.IDS.get(i);
      HazardNote note = HazardNote.of(id);
      out.add(new HazardView(id, titles.get(i), note.words(), note.bound(), note.units()));
    }
    return out;
  }

  private static List<FaultView> faults(Site.Arrangement arrangement) {
    List<FaultView> out = new ArrayList<>();
    for (FaultKind kind : FaultKind.values()) {
      List<TargetView> targets =
          FaultTargets.of(kind, arrangement).stream()
              .map(target -> new TargetView(target.device(), target.signals()))
              .toList();
      if (targets.isEmpty()) {
        continue;
      }
      out.add(
          new FaultView(
              kind.word(),
              kind.family().name(),
              kind.family().title(),
              kind.effect(),
              kind.duty(),
              !kind.needsVirtualLinks(),
              targets,
              kind.parameters().stream()
                  .map(
                      p ->
                          new NumberView(
                              p.name(), p.minimum(), p.maximum(), p.usual(), p.meaning()))
                  .toList(),
              kind.claims()));
    }
    return out;
  }

  private static List<EventView> events(Site.Arrangement arrangement) {
    Stream<EventForm> utility =
        arrangement.hasUtility() ? EventForm.UTILITY.stream() : Stream.empty();
    return Stream.concat(utility, EventForm.ANYWHERE.stream())
        .map(
            form ->
                new EventView(
                    form.name(),
                    form.title(),
                    form.group(),
                    form.fields().stream()
                        .map(
                            f ->
                                new FieldView(
                                    f.name(),
                                    word(f.form()),
                                    f.minimum(),
                                    f.maximum(),
                                    f.usual(),
                                    f.unit(),
                                    f.required(),
                                    f.meaning()))
                        .toList()))
        .toList();
  }

  private static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }

  private static List<OrderView> orders() {
    List<OrderView> out = new ArrayList<>();
    for (OperatorOrder order : OperatorOrder.values()) {
      OrderNote note = OrderNote.of(order);
      out.add(
          new OrderView(
              order.name(),
              note.meaning(),
              word(note.key()),
              note.keyMeaning(),
              note.keys(),
              note.longestS(),
              note.usualS(),
              note.grave()));
    }
    return out;
  }

  private static List<BenchOrderView> benchOrders() {
    return Arrays.stream(BenchOrder.values()).map(Describer::benchOrder).toList();
  }

  private static BenchOrderView benchOrder(BenchOrder order) {
    return switch (order) {
      case PAUSE -> plain(order, "let site time stand still", "");
      case GO_ON -> plain(order, "let site time go on", "");
      case STEP -> plain(order, "let one scan of the supervisor pass, then stand still", "");
      case SPEED ->
          new BenchOrderView(
              order.name(),
              "site seconds in a second on the wall",
              LiveSession.LOWEST_SPEED,
              LiveSession.HIGHEST_SPEED,
              1,
              "");
      case BACK -> plain(order, "begin the same run anew", "");
      case LOAD -> plain(order, "begin another run", "scenario");
      case BOOKMARK -> plain(order, "put a remark into the sequence of events", "bookmark");
      case EVENT -> plain(order, "let an event happen now", "event");
      case END -> plain(order, "end the fault that the number names", "");
      case RESTORE ->
          plain(
              order,
              "let utility, sky and loads be as they should, and end every fault that was begun by"
                  + " hand",
              "");
    };
  }

  private static BenchOrderView plain(BenchOrder order, String meaning, String text) {
    return new BenchOrderView(order.name(), meaning, 0, 0, 0, text);
  }

  private static PieceView piece(Repertoire.Piece piece) {
    return new PieceView(
        piece.name(),
        piece.title(),
        piece.site(),
        piece.arrangement(),
        word(piece.group()),
        piece.playable());
  }

  static List<SignalView> signals() {
    Set<String> told =
        BenchTelemetry.LAYOUT.fields().stream().map(Field::name).collect(Collectors.toSet());
    List<SignalView> out = new ArrayList<>();
    for (Signal signal : Signal.all()) {
      String field = camel(signal.label());
      out.add(
          new SignalView(
              signal.label(),
              signal.unit(),
              signal.decimals(),
              signal.words(),
              told.contains(field) ? field : ""));
    }
    return out;
  }

  /** As messages write it: {@code battery.voltage_V} is {@code batteryVoltageV}. */
  private static String camel(String label) {
    String[] words = label.split("[._]", -1);
    StringBuilder out = new StringBuilder(words[0]);
    for (int i = 1; i < words.length; i++) {
      out.append(Character.toUpperCase(words[i].charAt(0))).append(words[i].substring(1));
    }
    return out.toString();
  }
}
