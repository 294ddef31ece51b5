package islet.bench;

import islet.contract.AlarmId;
import islet.contract.Forced;
import islet.site.Decimals;
import islet.site.InputFile;
import islet.site.Section;
import islet.site.Setting;
import islet.site.YamlText;
import java.nio.file.Path;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/**
 * Writes a scenario with nothing left to a default, for the run's folder. It reads back as the same
 * case. Its bytes depend on the case alone, not on where the files lie: paths start from the folder
 * of the scenario that the case came from.
 */
public final class ResolvedScenario {
  private final StringBuilder yaml = new StringBuilder();

  private ResolvedScenario() {}

  /** The scenario as YAML, lines ended by a line feed. */
  public static String write(Scenario scenario) {
    ResolvedScenario writer = new ResolvedScenario();
    writer.scenario(scenario);
    return writer.yaml.toString();
  }

  private void scenario(Scenario scenario) {
    line("# A case as it was run, with nothing left to a default. Run it again with: rehearse");
    line("title: " + YamlText.scalar(scenario.title()));
    line("# Paths start from the folder of this file, which was named from the working directory.");
    line("resolvedFrom: " + YamlText.scalar(InputFile.shown(scenario.file())));
    line("site: " + path(scenario, scenario.siteFile()));
    settings(scenario.settings());
    line("start: " + start(scenario));
    line("duration: " + Micros.iso(scenario.durationMicros()));
    line("seed: " + scenario.seed());
    line("weather: " + weather(scenario));
    line(
        "battery: { soc: "
            + Decimals.text(scenario.initialSoc())
            + ", health: "
            + Decimals.text(scenario.initialHealth())
            + " }");
    if (scenario.site().arrangement().hasSwitch()) {
      line("tie: " + (scenario.tieClosed() ? "closed" : "open"));
    }
    line("traceStep: " + Micros.iso(StrictMath.round(scenario.traceStepS() * 1e6)));
    list("events", scenario.events().stream().map(ResolvedScenario::event).toList());
    list("expect", scenario.expect().stream().map(ResolvedScenario::expectation).toList());
    waive(scenario.waive());
    // Most runs have none, and a run folder of those is read by versions that know none.
    if (!scenario.stops().isEmpty()) {
      list("stops", scenario.stops().stream().map(ResolvedScenario::stop).toList());
    }
  }

  private void line(String line) {
    yaml.append(line).append('\n');
  }

  private void list(String name, List<String> entries) {
    if (entries.isEmpty()) {
      line(name + ": []");
      return;
    }
    line(name + ":");
    entries.forEach(entry -> line("  - { " + entry + " }"));
  }

  private void settings(List<Setting> settings) {
    if (settings.isEmpty()) {
      line("settings: {}");
      return;
    }
    line("settings:");
    settings.forEach(s -> line("  " + YamlText.scalar(s.path()) + ": " + s.value()));
  }

  private void waive(Map<String, String> waive) {
    if (waive.isEmpty()) {
      line("waive: {}");
      return;
    }
    line("waive:");
    waive.forEach((id, reason) -> line("  " + id + ": " + YamlText.scalar(reason)));
  }

  private static String stop(Stop stop) {
    String measure = stop.measure().stream().map(Signal::label).collect(Collectors.joining(", "));
    return "at: "
        + Micros.iso(stop.atMicros())
        + ", do: "
        + YamlText.scalar(stop.act())
        + ", see: "
        + YamlText.scalar(stop.see())
        + (measure.isEmpty() ? "" : ", measure: [" + measure + "]")
        + (stop.safety().isEmpty() ? "" : ", safety: " + YamlText.scalar(stop.safety()));
  }

  private static String start(Scenario scenario) {
    Instant start = Instant.ofEpochSecond(Math.floorDiv(scenario.startMicros(), 1_000_000L));
    OffsetDateTime local = start.atZone(scenario.site().place().zone()).toOffsetDateTime();
    return YamlText.scalar(DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(local));
  }

  private static String path(Scenario scenario, Path file) {
    Path folder = InputFile.folder(scenario.file()).normalize();
    Path there = folder.relativize(file.toAbsolutePath().normalize());
    return YamlText.scalar(there.toString().replace('\\', '/'));
  }

  private static String weather(Scenario scenario) {
    WeatherSource weather = scenario.weather();
    if (weather instanceof WeatherSource.Constant constant) {
      return "{ constant: { ghi: "
          + Decimals.text(constant.ghiWPerM2())
          + " W/m2, temperature: "
          + Decimals.text(constant.temperatureC())
          + " degC } }";
    }
    if (weather instanceof WeatherSource.Clouds clouds) {
      return "{ "
          + intervals(scenario, clouds.over())
          + ", clouds: { passing: "
          + Decimals.text(clouds.passingS())
          + " s } }";
    }
    return "{ " + intervals(scenario, (WeatherSource.Intervals) weather) + " }";
  }

  private static String intervals(Scenario scenario, WeatherSource.Intervals weather) {
    if (weather instanceof WeatherSource.Epw epw) {
      return "epw: " + path(scenario, epw.file());
    }
    if (weather instanceof WeatherSource.Csv csv) {
      return "csv: " + path(scenario, csv.file());
    }
    WeatherSource.ClearSky clear = (WeatherSource.ClearSky) weather;
    return "clear-sky: { temperature: "
        + Decimals.text(clear.temperatureC())
        + " degC, nightTemperature: "
        + Decimals.text(clear.nightTemperatureC())
        + " degC, clearness: "
        + Decimals.text(clear.clearness())
        + " }";
  }

  /** One event as it stands in a scenario's list, without the braces around it. */
  public static String event(Event event) {
    String at = "at: " + Micros.iso(event.atMicros()) + ", ";
    if (event instanceof Event.Outage e) {
      return at + "utility: { outage: " + Micros.iso(e.durationMicros()) + outage(e) + " }";
    }
    if (event instanceof Event.Reclose e) {
      return at
          + "utility: { reclose: ["
          + e.micros().stream().map(Micros::iso).collect(Collectors.joining(", "))
          + "] }";
    }
    if (event instanceof Event.BrownOut e) {
      return at
          + "utility: { brownOut: "
          + Decimals.text(e.pu())
          + ", fall: "
          + Micros.iso(e.fallMicros())
          + lasting(e.forMicros())
          + ", rise: "
          + Micros.iso(e.riseMicros())
          + " }";
    }
    if (event instanceof Event.FrequencyRamp e) {
      return at
          + "utility: { frequencyRamp: "
          + Decimals.text(e.hz())
          + " Hz, rate: "
          + Decimals.text(e.hzPerS())
          + " Hz/s"
          + lasting(e.forMicros())
          + " }";
    }
    if (event instanceof Event.Sag e) {
      return at + "utility: { sag: " + Decimals.text(e.pu()) + lasting(e.forMicros()) + " }";
    }
    if (event instanceof Event.Swell e) {
      return at + "utility: { swell: " + Decimals.text(e.pu()) + lasting(e.forMicros()) + " }";
    }
    if (event instanceof Event.FrequencyStep e) {
      return at
          + "utility: { frequency: "
          + Decimals.text(e.hz())
          + " Hz"
          + lasting(e.forMicros())
          + " }";
    }
    if (event instanceof Event.PhaseJump e) {
      return at + "utility: { phaseJump: " + Decimals.text(e.deg()) + " deg }";
    }
    if (event instanceof Event.Operator e) {
      return at + "operator: " + operator(e);
    }
    return at + fault((Event.Fault) event);
  }

  private static String operator(Event.Operator e) {
    String word = Section.word(e.action());
    String key =
        switch (e.action()) {
          case OVERRIDE, END_OVERRIDE -> Section.word(Forced.valueOf(e.key()));
          case SHELVE, UNSHELVE -> Section.word(AlarmId.valueOf(e.key()));
          case ISLAND_REQUEST,
              RECONNECT_REQUEST,
              HOLD,
              RELEASE,
              SWITCH,
              ACKNOWLEDGE,
              RESET,
              AUTO,
              MANUAL,
              EQUALISE,
              WARN,
              ALL_CLEAR ->
              e.key();
        };
    String lasting = e.forMicros() == 0 ? "" : ", for: " + Micros.iso(e.forMicros());
    return key.isEmpty() ? word : "{ " + word + ": " + key + lasting + " }";
  }

  private static String outage(Event.Outage outage) {
    String angle = ", returnAngle: " + Decimals.text(outage.returnDeg()) + " deg";
    return angle
        + outage
            .match()
            .map(
                m ->
                    ", matchedLoad: "
                        + Decimals.text(m.share())
                        + ", qualityFactor: "
                        + Decimals.text(m.qualityFactor())
                        + ", imbalance: "
                        + Decimals.text(m.imbalance()))
            .orElse("");
  }

  private static String fault(Event.Fault fault) {
    StringBuilder text = new StringBuilder("fault: { kind: ").append(Section.word(fault.kind()));
    text.append(", device: ").append(fault.device());
    if (!fault.signal().isEmpty()) {
      text.append(", signal: ").append(fault.signal());
    }
    fault.numbers().forEach((n, v) -> text.append(", " + n + ": " + Decimals.text(v)));
    if (!fault.claim().isEmpty()) {
      text.append(", as: ").append(fault.claim());
    }
    return text.append(" }")
        .append(fault.forMicros() > 0 ? lasting(fault.forMicros()) : "")
        .toString();
  }

  private static String lasting(long micros) {
    return ", for: " + Micros.iso(micros);
  }

  private static String expectation(Expectation expectation) {
    return condition(expectation)
        + ", after: "
        + Micros.iso(expectation.afterMicros())
        + ", until: "
        + Micros.iso(expectation.untilMicros())
        + ", text: "
        + YamlText.scalar(expectation.text());
  }

  private static String condition(Expectation expectation) {
    if (expectation instanceof Expectation.Becomes e) {
      return "signal: "
          + e.signal()
          + ", is: "
          + YamlText.scalar(e.value())
          + within(e.withinMicros());
    }
    if (expectation instanceof Expectation.Stays e) {
      return "signal: "
          + e.signal()
          + ", is: "
          + YamlText.scalar(e.value())
          + allowing(e.allowingMicros());
    }
    if (expectation instanceof Expectation.Bound e) {
      return "signal: "
          + e.signal()
          + ", "
          + Section.word(e.side())
          + ": "
          + Decimals.text(e.limit())
          + allowing(e.allowingMicros());
    }
    if (expectation instanceof Expectation.Transitions e) {
      return "transitions: [" + String.join(", ", e.modes()) + "]";
    }
    if (expectation instanceof Expectation.Transition e) {
      return "transition: { from: "
          + e.from()
          + ", to: "
          + e.to()
          + " }, notBefore: "
          + Micros.iso(e.notBeforeMicros())
          + within(e.withinMicros());
    }
    Expectation.Alarm alarm = (Expectation.Alarm) expectation;
    return "alarm: " + alarm.id() + within(alarm.withinMicros());
  }

  private static String within(long micros) {
    return ", within: " + Micros.iso(micros);
  }

  private static String allowing(long micros) {
    return ", allowing: " + Micros.iso(micros);
  }
}
