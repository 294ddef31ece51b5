package islet.bench.defect;

import islet.bench.Hazards;
import islet.site.InputFile;
import islet.site.Section;
import java.nio.file.Path;
import java.util.List;

/**
 * The list of planted defects with the scenario that shows each and the hazard that must catch it.
 *
 * @param title what a person reads
 * @param cases in the order of the file
 */
public record Planted(String title, List<Case> cases) {

  public Planted {
    cases = List.copyOf(cases);
  }

  /**
   * One defect in one scenario.
   *
   * @param scenario the scenario's file
   * @param hazard the id of the hazard that must catch it
   */
  public record Case(Defect defect, Path scenario, String hazard) {}

  /**
   * Reads a list; paths start from its folder.
   *
   * @throws islet.site.InputException with everything that is wrong in it
   */
  public static Planted read(Path file) {
    Path folder = InputFile.folder(file);
    return Section.read(
        file,
        List.of(),
        s ->
            new Planted(
                s.text("title", "what is planted, in one line", ""),
                s.sections("planted", "", row -> read(row, folder))));
  }

  private static Case read(Section row, Path folder) {
    String id = row.choice("defect", Defects.ids(), "docs/defects.md says what each does.");
    Path scenario =
        row.existingFile("scenario", folder, "Name a scenario file.").orElse(Path.of(""));
    String hazard = row.choice("hazard", Hazards.IDS, "docs/scenarios.md says what each is.");
    // A wrong name is noted already; any defect stands in until the reader gives up.
    Defect defect =
        Defects.all().stream()
            .filter(d -> d.id().equals(id))
            .findFirst()
            .orElse(Defects.all().get(0));
    return new Case(defect, scenario, hazard);
  }
}
