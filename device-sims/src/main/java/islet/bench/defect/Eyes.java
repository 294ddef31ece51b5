package islet.bench.defect;

import islet.contract.ChargerTelemetry;
import islet.contract.Device;
import islet.contract.InverterTelemetry;
import islet.contract.MeterTelemetry;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorCommand;
import islet.contract.TieTelemetry;
import islet.control.Inputs;
import islet.control.Outputs;

/**
 * What a supervisor is made to believe: each method returns a reading as it is, unless a defect
 * overrides it. One instance belongs to one supervisor and may remember.
 */
class Eyes {

  /**
   * Before each scan.
   *
   * @param in what has really been told
   * @param now the instant of the scan, microseconds since 1970
   * @param before the orders of the scan before; on the first scan those of nobody
   */
  void open(Inputs in, long now, Outputs before) {}

  RegulatorTelemetry regulator(RegulatorTelemetry t) {
    return t;
  }

  InverterTelemetry inverter(InverterTelemetry t) {
    return t;
  }

  ChargerTelemetry charger(ChargerTelemetry t) {
    return t;
  }

  /** Also asked for the lowest and the highest that was told between two scans. */
  TieTelemetry tie(TieTelemetry t) {
    return t;
  }

  /** Also asked for the lowest and the highest that was told between two scans. */
  MeterTelemetry meter(MeterTelemetry t) {
    return t;
  }

  /** What a person has ordered. */
  SupervisorCommand ordered(SupervisorCommand order) {
    return order;
  }

  /** When a device's reading is taken to have arrived, or {@link Inputs#NEVER}. */
  long arrived(Device device, long at) {
    return at;
  }
}
