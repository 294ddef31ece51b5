package islet.bench.campaign;

import islet.bench.Hazards;
import islet.bench.Mishap;
import islet.bench.MishapReader;
import islet.bench.Scenario;
import islet.bench.ScenarioReader;
import islet.bench.defect.Defect;
import islet.bench.defect.Defects;
import islet.contract.Mode;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Section;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;

/** Reads and checks a campaign's file and the scenarios that it names. */
public final class CampaignReader {

  private static final long MAXIMUM_SEED = 999_999_999_999_999_999L;
  private static final int MOST_CASES = 10_000_000;
  private static final int MOST_INSTANTS = 10_000;
  private static final int MOST_TOGETHER = 5;
  private static final int MOST_RESTARTS = 100;
  private static final String ANY = "any";

  private final Path file;
  private final Path folder;
  private final Map<Path, Optional<Scenario>> read = new LinkedHashMap<>();

  private CampaignReader(Path file) {
    this.file = file;
    folder = InputFile.folder(file);
  }

  /**
   * Reads a campaign.
   *
   * @throws InputException with everything that is wrong in the file and in what it names
   */
  public static Campaign read(Path file) {
    CampaignReader reader = new CampaignReader(file);
    return Section.read(file, List.of(), reader::campaign);
  }

  private Campaign campaign(Section s) {
    String title = s.text("title", "the campaign in one line", "");
    long seed = s.has("seed") ? s.integer("seed", 0, MAXIMUM_SEED, "") : 1;
    String form = s.oneOf("product", "random", "search", "planted").orElse("");
    List<Course> courses = new ArrayList<>();
    List<Mishap> mishaps = new ArrayList<>();
    if (!form.equals("planted") && !form.isEmpty()) {
      s.sections("courses", "", this::course).forEach(c -> c.ifPresent(courses::add));
      checkNames(s, courses);
      s.sections("mishaps", "", m -> fitting(m, courses)).forEach(mishaps::addAll);
    } else if (form.isEmpty()) {
      s.names();
    }
    Campaign.Method method =
        switch (form) {
          case "product" -> s.section(form, "", CampaignReader::product);
          case "random" -> s.section(form, "", CampaignReader::drawn);
          case "search" -> s.section(form, "", CampaignReader::search);
          default -> planted(s, form);
        };
    if (method instanceof Campaign.Product) {
      checkChoices(s, mishaps);
    }
    List<Campaign.Waiver> waivers =
        s.has("waive") ? s.sections("waive", "", CampaignReader::waiver) : List.of();
    checkWaivers(s, mishaps, waivers);
    return new Campaign(title, InputFile.shown(file), seed, courses, mishaps, method, waivers);
  }

  private Optional<Course> course(Section s) {
    Optional<Scenario> scenario = scenario(s);
    List<String> words = Arrays.stream(Mode.values()).map(Mode::name).toList();
    List<String> modes =
        s.has("modes") ? s.oneOrMore("modes", m -> m.choice("modes", words, "")) : List.of();
    return scenario.map(found -> new Course(name(found.file()), found, modes));
  }

  /** A scenario that several entries name is read once. */
  private Optional<Scenario> scenario(Section s) {
    Optional<Path> there =
        s.existingFile("scenario", folder, "Name a scenario, from this file's folder.");
    return there.flatMap(
        path ->
            read.computeIfAbsent(
                path,
                p -> s.problems().gather(() -> ScenarioReader.read(p, OptionalLong.empty()))));
  }

  private static String name(Path path) {
    return String.valueOf(path.getFileName()).replaceFirst("\\.ya?ml$", "");
  }

  private static void checkNames(Section s, List<Course> courses) {
    Set<String> names = new TreeSet<>();
    for (Course course : courses) {
      if (!names.add(course.name())) {
        s.wrong("courses", "two courses called " + course.name(), "each once", "Rename one.");
      }
    }
  }

  /** What of an entry can happen in one course at least. */
  private static List<Mishap> fitting(Section s, List<Course> courses) {
    List<Mishap> all = MishapReader.read(s);
    List<Mishap> fitting =
        all.stream()
            .filter(m -> courses.stream().anyMatch(c -> m.fits(c.scenario().site().arrangement())))
            .toList();
    if (fitting.isEmpty() && !all.isEmpty() && !courses.isEmpty()) {
      String field = s.has("fault") ? "fault" : s.has("utility") ? "utility" : "operator";
      s.wrong(
          field,
          all.get(0).label() + ", which befalls a part that no course's site has",
          "what can happen in one course at least",
          "Take it out, or add a course at a site that has the part.");
    }
    return fitting;
  }

  private static void checkChoices(Section s, List<Mishap> mishaps) {
    for (Mishap mishap : mishaps) {
      if (mishap.axes().stream().anyMatch(axis -> axis.isRange())) {
        s.wrong(
            "mishaps",
            mishap.label() + " with a range in a product",
            "single values and lists",
            "Write the values, or choose random or search.");
      }
    }
  }

  private static void checkWaivers(Section s, List<Mishap> mishaps, List<Campaign.Waiver> waivers) {
    for (Campaign.Waiver waiver : waivers) {
      if (mishaps.stream().noneMatch(m -> m.kind().equals(waiver.kind()))) {
        s.wrong(
            "waive",
            "a waiver for " + waiver.kind() + ", which does not happen here",
            "kinds that stand under mishaps",
            "Take it out.");
      }
    }
  }

  private static Campaign.Product product(Section s) {
    return new Campaign.Product((int) s.integer("instants", 1, MOST_INSTANTS, "In each mode."));
  }

  private static Campaign.Drawn drawn(Section s) {
    return new Campaign.Drawn(
        (int) s.integer("cases", 1, MOST_CASES, ""),
        s.has("together") ? (int) s.integer("together", 1, MOST_TOGETHER, "") : 1,
        s.has("within") ? s.duration("within", 1, 1, "") : 10_000_000);
  }

  private static Campaign.Search search(Section s) {
    List<String> hazards = new ArrayList<>(Hazards.IDS);
    hazards.add(ANY);
    String hazard = s.has("hazard") ? s.choice("hazard", hazards, "") : ANY;
    return new Campaign.Search(
        (int) s.integer("evaluations", 10, MOST_CASES, "Runs for each search."),
        s.has("restarts") ? (int) s.integer("restarts", 1, MOST_RESTARTS, "") : 1,
        s.has("together") ? (int) s.integer("together", 1, 2, "") : 1,
        hazard.equals(ANY) ? "" : hazard,
        s.has("around") && s.choice("around", List.of("changes", "modes"), "").equals("changes"));
  }

  private Campaign.Method planted(Section s, String form) {
    if (form.isEmpty()) {
      return new Campaign.Planted(List.of());
    }
    List<Campaign.Plant> plants = new ArrayList<>();
    s.sections("planted", "", this::plant).forEach(p -> p.ifPresent(plants::add));
    return new Campaign.Planted(plants);
  }

  private Optional<Campaign.Plant> plant(Section s) {
    String defect = s.choice("defect", Defects.ids(), "docs/defects.md lists them.");
    String hazard = s.choice("hazard", Hazards.IDS, "");
    return scenario(s)
        .map(
            found ->
                new Campaign.Plant(
                    Defect.PREFIX + defect,
                    new Course(name(found.file()), found, List.of()),
                    hazard));
  }

  private static Campaign.Waiver waiver(Section s) {
    return new Campaign.Waiver(
        s.text("kind", "a kind of fault or event", ""),
        s.choice("hazard", Hazards.IDS, ""),
        s.text("because", "the reason as text", "Reports repeat the reason."));
  }
}
