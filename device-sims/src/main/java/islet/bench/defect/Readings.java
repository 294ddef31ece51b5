package islet.bench.defect;

import islet.contract.ChargerTelemetry;
import islet.contract.InverterTelemetry;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.contract.TieTelemetry;

/** Telemetry with one thing changed. */
final class Readings {

  private Readings() {}

  /** The tie's with another utility, per unit and Hz. */
  static TieTelemetry utility(TieTelemetry t, double pu, double hz) {
    return new TieTelemetry(
        t.seq(),
        t.at(),
        t.closed(),
        t.orderedClosed(),
        pu,
        hz,
        t.islandVoltagePu(),
        t.islandFrequencyHz(),
        t.angleDeg(),
        t.trip(),
        t.held(),
        t.local());
  }

  /** The tie's with another position of the contact. */
  static TieTelemetry contact(TieTelemetry t, boolean closed) {
    return new TieTelemetry(
        t.seq(),
        t.at(),
        closed,
        t.orderedClosed(),
        t.utilityVoltagePu(),
        t.utilityFrequencyHz(),
        t.islandVoltagePu(),
        t.islandFrequencyHz(),
        t.angleDeg(),
        t.trip(),
        t.held(),
        t.local());
  }

  /** The meter's with another utility, per unit and Hz. */
  static MeterTelemetry utility(MeterTelemetry m, double pu, double hz) {
    return new MeterTelemetry(
        m.seq(),
        m.at(),
        pu,
        hz,
        m.pccPowerW(),
        m.criticalPowerW(),
        m.noncriticalPowerW(),
        m.criticalVoltagePu(),
        m.batteryVoltageV(),
        m.batteryCurrentA(),
        m.batteryTemperatureC(),
        m.shedCircuits(),
        m.local(),
        m.batteryPath());
  }

  /** The meter's with another current into the battery, A, and another temperature of it, °C. */
  static MeterTelemetry battery(MeterTelemetry m, double currentA, double temperatureC) {
    return new MeterTelemetry(
        m.seq(),
        m.at(),
        m.utilityVoltagePu(),
        m.utilityFrequencyHz(),
        m.pccPowerW(),
        m.criticalPowerW(),
        m.noncriticalPowerW(),
        m.criticalVoltagePu(),
        m.batteryVoltageV(),
        currentA,
        temperatureC,
        m.shedCircuits(),
        m.local(),
        m.batteryPath());
  }

  /** The regulator's with another temperature of the battery, °C. */
  static RegulatorTelemetry temperature(RegulatorTelemetry t, double celsius) {
    return new RegulatorTelemetry(
        t.seq(),
        t.at(),
        t.busVoltageV(),
        celsius,
        t.pvVoltageV(),
        t.pvPowerW(),
        t.outputCurrentA(),
        t.voltageSetV(),
        t.currentLimitA(),
        t.stage(),
        t.enabled(),
        t.local());
  }

  /** The charger's with another temperature of the battery, °C. */
  static ChargerTelemetry temperature(ChargerTelemetry t, double celsius) {
    return new ChargerTelemetry(
        t.seq(),
        t.at(),
        t.busVoltageV(),
        celsius,
        t.acPowerW(),
        t.outputCurrentA(),
        t.voltageSetV(),
        t.currentLimitA(),
        t.stage(),
        t.enabled(),
        t.local());
  }

  /** The regulator's with another voltage of the bus, V. */
  static RegulatorTelemetry bus(RegulatorTelemetry t, double volts) {
    return new RegulatorTelemetry(
        t.seq(),
        t.at(),
        volts,
        t.batteryTemperatureC(),
        t.pvVoltageV(),
        t.pvPowerW(),
        t.outputCurrentA(),
        t.voltageSetV(),
        t.currentLimitA(),
        t.stage(),
        t.enabled(),
        t.local());
  }

  /** The inverter's with another voltage of the bus, V. */
  static InverterTelemetry bus(InverterTelemetry t, double volts) {
    return new InverterTelemetry(
        t.seq(),
        t.at(),
        volts,
        t.dcCurrentA(),
        t.acPowerW(),
        t.acVoltagePu(),
        t.acFrequencyHz(),
        t.state(),
        t.trip(),
        t.islandPermit(),
        t.local());
  }
}
