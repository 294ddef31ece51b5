package islet.bench;

import islet.contract.Mode;
import islet.plant.Flow;
import islet.plant.Plant;

/**
 * What a run has come to at an instant, by the plant's ledger and the bill, with what sun, utility
 * and loads offer and ask at it. The sums are those of the verdict, before the run is over.
 *
 * @param sunWPerM2 in the plane of the array
 * @param loadsWantW what all circuits would take at nominal voltage, switched off or not
 * @param sourcePu voltage of the utility's own source, 0 while it is gone
 * @param sourceHz its frequency, 0 while it is gone
 * @param panelDarkS how long the emergency panel was dark
 * @param mainPanelDarkS how long the main panel was, of a site with circuits on it
 * @param toIsland times that the supervisor has come into {@link Mode#ISLANDED}
 * @param toUtility times that it has come into {@link Mode#GRID_PRESENT}
 * @param cost in the tariff's currency; 0 without a utility
 */
public record Books(
    double sunWPerM2,
    double loadsWantW,
    double sourcePu,
    double sourceHz,
    double pvKWh,
    double curtailedKWh,
    double importKWh,
    double exportKWh,
    double batteryInKWh,
    double batteryOutKWh,
    double storedChangeKWh,
    double criticalKWh,
    double noncriticalKWh,
    double unservedCriticalKWh,
    double unservedNoncriticalKWh,
    double panelDarkS,
    double mainPanelDarkS,
    long toIsland,
    long toUtility,
    double cost) {

  static Books of(SiteSimulation simulation, Judges judges) {
    Plant plant = simulation.plant();
    SiteMeters meters = simulation.meters();
    double wantedW = 0;
    for (int i = 0; i < plant.circuits(); i++) {
      wantedW += plant.circuitWantedW(i);
    }
    return new Books(
        plant.pvIrradiance(),
        wantedW,
        plant.utilityVoltagePu(),
        plant.utilityFrequencyHz(),
        meters.kWh(Flow.PV),
        meters.kWh(Flow.CURTAILED),
        meters.kWh(Flow.IMPORT),
        meters.kWh(Flow.EXPORT),
        meters.kWh(Flow.BATTERY_IN),
        meters.kWh(Flow.BATTERY_OUT),
        meters.kWh(Flow.STORED_CHANGE),
        meters.kWh(Flow.CRITICAL),
        meters.kWh(Flow.NONCRITICAL),
        meters.kWh(Flow.UNSERVED_CRITICAL),
        meters.kWh(Flow.UNSERVED_NONCRITICAL),
        judges.dark().criticalS(),
        judges.dark().mainS(),
        judges.arrivals(Mode.ISLANDED),
        judges.arrivals(Mode.GRID_PRESENT),
        meters.owed());
  }
}
