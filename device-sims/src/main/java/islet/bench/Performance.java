package islet.bench;

import islet.bench.RunResult.Entry;
import islet.plant.Flow;
import islet.plant.Ledger;
import java.util.ArrayList;
import java.util.List;

/**
 * How well a run used its array, from the energy ledger. Yields and performance ratio after IEC
 * 61724-1, with the part of the useful energy that is the array's own after IEC 61724:1998 (both
 * from memory); self-consumption and self-sufficiency (autarky) as commonly defined. What each
 * means stands in docs/model.md.
 *
 * @param pvKWh taken from the array
 * @param importKWh through the meter from the utility
 * @param exportKWh through the meter to it
 * @param loadKWh used by critical and non-critical circuits
 * @param storedKWh change of the energy in the battery, negative when it was drawn down
 * @param inPlaneKWhPerM2 irradiation in the array's plane
 * @param ratedKW the array's power at 1000 W/m² and 25 °C
 */
public record Performance(
    double pvKWh,
    double importKWh,
    double exportKWh,
    double loadKWh,
    double storedKWh,
    double inPlaneKWhPerM2,
    double ratedKW) {

  private static final double JOULES_PER_KWH = 3.6e6;

  /** Irradiance at which an array is rated, kW/m². */
  private static final double STANDARD_KW_PER_M2 = 1;

  /** Less energy than this, in kWh or kWh/m², is none: a ratio to it says nothing. */
  private static final double NOTHING = 1e-6;

  /** Of a run's ledger. */
  static Performance of(Ledger ledger, double inPlaneJPerM2, double ratedW) {
    return new Performance(
        ledger.joules(Flow.PV) / JOULES_PER_KWH,
        ledger.joules(Flow.IMPORT) / JOULES_PER_KWH,
        ledger.joules(Flow.EXPORT) / JOULES_PER_KWH,
        (ledger.joules(Flow.CRITICAL) + ledger.joules(Flow.NONCRITICAL)) / JOULES_PER_KWH,
        ledger.joules(Flow.STORED_CHANGE) / JOULES_PER_KWH,
        inPlaneJPerM2 / JOULES_PER_KWH,
        ratedW / 1000);
  }

  /** The share of the array's energy that did not leave through the meter, 0 to 1. */
  public double selfConsumption() {
    return 1 - Math.min(exportKWh, pvKWh) / pvKWh;
  }

  /** The share of the loads' energy that the utility did not have to give, 0 to 1. */
  public double selfSufficiency() {
    return 1 - Math.min(importKWh, loadKWh) / loadKWh;
  }

  /** Hours of 1000 W/m² that would give the same irradiation, h. */
  public double referenceYieldH() {
    return inPlaneKWhPerM2 / STANDARD_KW_PER_M2;
  }

  /** Hours at rated power that would give what was taken from the array, h. */
  public double arrayYieldH() {
    return pvKWh / ratedKW;
  }

  /**
   * Useful over put in, by all sources: loads, export and what the battery gained, over array,
   * import and what the battery gave, 0 to 1.
   */
  public double usefulShare() {
    double useful = loadKWh + exportKWh + Math.max(0, storedKWh);
    return useful / (pvKWh + importKWh + Math.max(0, -storedKWh));
  }

  /** Hours at rated power that would give the array's part of the useful energy, h. */
  public double finalYieldH() {
    return arrayYieldH() * usefulShare();
  }

  /** Final yield over reference yield. */
  public double performanceRatio() {
    return finalYieldH() / referenceYieldH();
  }

  /** For the verdict; a figure that this run has no ground for is left out. */
  public List<Entry> entries() {
    List<Entry> entries = new ArrayList<>();
    boolean pv = pvKWh > NOTHING;
    if (pv) {
      entries.add(new Entry("self_consumption", selfConsumption()));
    }
    if (loadKWh > NOTHING) {
      entries.add(new Entry("self_sufficiency", selfSufficiency()));
    }
    entries.add(new Entry("in_plane_kWh_per_m2", inPlaneKWhPerM2));
    entries.add(new Entry("reference_yield_h", referenceYieldH()));
    entries.add(new Entry("array_yield_h", arrayYieldH()));
    if (pv) {
      entries.add(new Entry("final_yield_h", finalYieldH()));
      if (inPlaneKWhPerM2 > NOTHING) {
        entries.add(new Entry("performance_ratio", performanceRatio()));
      }
    }
    return entries;
  }
}
