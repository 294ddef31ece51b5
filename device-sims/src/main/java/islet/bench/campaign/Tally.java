package islet.bench.campaign;

import islet.bench.Hazards;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;

/** A campaign's rows added up, as they pass by; what it holds does not grow with their number. */
public final class Tally {

  /** Of more failures than these only the number is kept. */
  private static final int MOST_LISTED = 200;

  private static final int NEAREST = 12;

  /** What the cases of one mishap, in one mode or with one hazard, came to. */
  public static final class Cell {
    private long cases;
    private long failed;
    private long waived;
    private double least = Double.POSITIVE_INFINITY;
    private String hazard = "";
    private long id = -1;

    private void add(CaseRow row, double share, String which) {
      cases++;
      failed += row.failed() ? 1 : 0;
      waived += row.verdict() == CaseRow.Verdict.WAIVED ? 1 : 0;
      if (share < least) {
        least = share;
        hazard = which;
        id = row.id();
      }
    }

    /** How many cases. */
    public long cases() {
      return cases;
    }

    /** How many of them failed. */
    public long failed() {
      return failed;
    }

    /** How many of them were waived. */
    public long waived() {
      return waived;
    }

    /** The smallest margin, as a share of the undisturbed course's. */
    public double least() {
      return least;
    }

    /** The hazard whose margin that is. */
    public String hazard() {
      return hazard;
    }

    /** The case in which that was. */
    public long id() {
      return id;
    }
  }

  private final Map<String, Map<String, Cell>> byMode = new LinkedHashMap<>();
  private final Map<String, Map<String, Cell>> byHazard = new LinkedHashMap<>();
  private final Set<String> modes = new LinkedHashSet<>();
  private final List<CaseRow> failures = new ArrayList<>();
  private final List<CaseRow> nearest = new ArrayList<>();
  private final Map<String, CaseRow> signatures = new TreeMap<>();
  private final HealthyRuns healthy;
  private final Campaign campaign;
  private final List<CaseRow> planted = new ArrayList<>();
  private long cases;
  private long failed;
  private long waived;

  Tally(Campaign campaign, HealthyRuns healthy) {
    this.campaign = campaign;
    this.healthy = healthy;
  }

  void add(CaseRow row) {
    cases++;
    if (campaign.method() instanceof Campaign.Planted && PlantedCases.defective(row.id())) {
      planted.add(row);
    }
    if (row.failed()) {
      failed++;
      if (failures.size() < MOST_LISTED) {
        failures.add(row);
      }
      signatures.putIfAbsent(row.mishap() + "|" + row.hazard(), row);
    } else if (row.verdict() == CaseRow.Verdict.WAIVED) {
      waived++;
    } else {
      keepNearest(row);
    }
    if (!row.mode().isEmpty()) {
      modes.add(row.mode());
    }
    List<String> mishaps = CampaignCase.apart(row.mishap());
    for (String mishap : mishaps) {
      cell(byMode, mishap, row.mode()).add(row, row.share(), row.hazard());
    }
    Optional<Course> course =
        campaign.courses().stream().filter(c -> c.name().equals(row.course())).findFirst();
    for (int i = 0; i < row.shares().size() && course.isPresent(); i++) {
      double own = row.shares().get(i);
      String hazard = Hazards.IDS.get(i);
      if (!Double.isNaN(own)) {
        double share = healthy.of(course.get()).share(hazard, own);
        for (String mishap : mishaps) {
          cell(byHazard, mishap, hazard).add(row, share, hazard);
        }
      }
    }
  }

  private void keepNearest(CaseRow row) {
    nearest.add(row);
    nearest.sort((a, b) -> Double.compare(a.share(), b.share()));
    if (nearest.size() > NEAREST) {
      nearest.remove(NEAREST);
    }
  }

  private static Cell cell(Map<String, Map<String, Cell>> cells, String line, String column) {
    return cells
        .computeIfAbsent(line, key -> new LinkedHashMap<>())
        .computeIfAbsent(column, key -> new Cell());
  }

  /** The campaign. */
  public Campaign campaign() {
    return campaign;
  }

  /** How many cases. */
  public long cases() {
    return cases;
  }

  /** How many failed. */
  public long failed() {
    return failed;
  }

  /** How many were waived. */
  public long waived() {
    return waived;
  }

  /** Mishaps, in the order in which they came; each of those that came together counts alone. */
  public List<String> mishaps() {
    return List.copyOf(byMode.keySet());
  }

  /** Modes in which mishaps began, in the order in which they came. */
  public List<String> modes() {
    return List.copyOf(modes);
  }

  /** A mishap's cases that began in a mode. */
  public Optional<Cell> inMode(String mishap, String mode) {
    return Optional.ofNullable(byMode.getOrDefault(mishap, Map.of()).get(mode));
  }

  /** A mishap's cases, by how near they came to a hazard. */
  public Optional<Cell> toHazard(String mishap, String hazard) {
    return Optional.ofNullable(byHazard.getOrDefault(mishap, Map.of()).get(hazard));
  }

  /** Failures, the first ones. */
  public List<CaseRow> failures() {
    return List.copyOf(failures);
  }

  /** The first failure of each mishap with each hazard. */
  public List<CaseRow> kinds() {
    return List.copyOf(signatures.values());
  }

  /** The runs with planted defects, in their order. */
  public List<CaseRow> planted() {
    return List.copyOf(planted);
  }

  /** Cases that passed with the smallest margins. */
  public List<CaseRow> nearest() {
    return List.copyOf(nearest);
  }
}
