package islet.bench.defect;

import islet.site.InputException;
import islet.site.Problem;
import islet.site.Spelling;
import java.util.List;
import java.util.stream.Stream;

/** All planted defects, in the order in which documents list them. */
public final class Defects {

  private static final List<Defect> ALL =
      Stream.of(
              TransferDefects.ALL,
              UtilityDefects.ALL,
              ChargeDefects.ALL,
              DispatchDefects.ALL,
              PictureDefects.ALL,
              WireDefects.ALL)
          .flatMap(List::stream)
          .toList();

  private static final List<String> IDS = ALL.stream().map(Defect::id).toList();

  private Defects() {}

  /** Every one. */
  public static List<Defect> all() {
    return ALL;
  }

  /** Their ids. */
  public static List<String> ids() {
    return IDS;
  }

  /** Whether a supervisor's name means a defect: it begins with {@link Defect#PREFIX}. */
  public static boolean means(String supervisor) {
    return supervisor.startsWith(Defect.PREFIX);
  }

  /**
   * The defect that a supervisor's name means, such as {@code defect:no-island-permit}.
   *
   * @throws InputException when there is none of this name; names those that are there
   */
  public static Defect named(String supervisor) {
    return ALL.stream()
        .filter(defect -> defect.name().equals(supervisor))
        .findFirst()
        .orElseThrow(() -> unknown(supervisor));
  }

  private static InputException unknown(String supervisor) {
    String id = means(supervisor) ? supervisor.substring(Defect.PREFIX.length()) : supervisor;
    String question = Spelling.question(id, IDS);
    return new InputException(
        List.of(
            new Problem(
                "--supervisor",
                0,
                supervisor,
                "no such planted defect",
                Defect.PREFIX + " and one of " + String.join(", ", IDS),
                (question.isEmpty() ? "" : question + " ")
                    + "docs/defects.md says what each does.")));
  }
}
