package islet.bench;

import islet.bench.RunResult.Entry;
import islet.plant.Flow;
import islet.plant.Ledger;
import islet.plant.Plant;
import islet.site.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Everything that is metered in a run: the bill, energy by interval, irradiation, and the battery's
 * state at both ends. Read after every step of the plant; reading allocates nothing but at
 * midnights, at changes of price, and when the table of intervals has to grow.
 */
public final class SiteMeters {

  private static final double JOULES_PER_KWH = 3.6e6;

  private final Plant plant;
  private final boolean billed;
  private final Bill bill;
  private final IntervalMeter intervals;
  private final double ratedW;
  private final double startSoc;
  private double billedImportJ;
  private double billedExportJ;
  private long at;
  private double irradiance;
  private double inPlaneJPerM2;

  /** Meters at the plant's present instant. */
  SiteMeters(Site site, Plant plant) {
    this.plant = plant;
    at = plant.nowMicros();
    billed = site.arrangement().hasUtility();
    bill = new Bill(site.tariff(), site.place().zone(), at);
    intervals = new IntervalMeter(site.place().zone(), site.tariff().intervalMinutes(), at);
    Site.Module module = site.pv().module();
    ratedW = site.pv().series() * site.pv().parallel() * module.impA() * module.vmpV();
    startSoc = plant.batterySoc();
    irradiance = plant.pvIrradiance();
  }

  /** Reads all meters at the plant's present instant. */
  void read() {
    long now = plant.nowMicros();
    Ledger ledger = plant.ledger();
    double importJ = ledger.joules(Flow.IMPORT);
    double exportJ = ledger.joules(Flow.EXPORT);
    bill.add(now, importJ - billedImportJ, exportJ - billedExportJ);
    billedImportJ = importJ;
    billedExportJ = exportJ;
    intervals.read(now, ledger);
    double before = irradiance;
    irradiance = plant.pvIrradiance();
    inPlaneJPerM2 += 0.5 * (before + irradiance) * ((now - at) * 1e-6);
    at = now;
  }

  /** The bill so far; of a site without a utility an empty one. */
  public Bill bill() {
    return bill;
  }

  /** The bill's lines; none for a site without a utility. */
  List<Entry> cost() {
    return billed ? bill.entries() : List.of();
  }

  /** What is owed to the utility so far, in the tariff's currency; 0 without a utility. */
  double owed() {
    return billed ? bill.total() : 0;
  }

  /** A flow so far, kWh. */
  double kWh(Flow flow) {
    return plant.ledger().joules(flow) / JOULES_PER_KWH;
  }

  /** Energy by interval so far. */
  public IntervalMeter intervals() {
    return intervals;
  }

  /** The ledger's flows, the battery's state of charge at both ends, and the performance. */
  List<Entry> energy() {
    List<Entry> out = new ArrayList<>();
    for (Flow flow : Flow.values()) {
      out.add(new Entry(flow.name().toLowerCase(Locale.ROOT) + "_kWh", kWh(flow)));
    }
    out.add(new Entry("soc_start", startSoc));
    out.add(new Entry("soc_end", plant.batterySoc()));
    out.add(new Entry("battery_fade_pu", plant.batteryFade()));
    out.addAll(Performance.of(plant.ledger(), inPlaneJPerM2, ratedW).entries());
    return out;
  }
}
