package islet.bench;

import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.Device;
import islet.contract.Event;
import islet.contract.SupervisorCommand;
import islet.contract.SupervisorTelemetry;

/** Several witnesses as one; they are told in the order given. */
public final class Witnesses implements Witness {

  private final Witness[] all;

  /** Puts them together. */
  public Witnesses(Witness... all) {
    this.all = all.clone();
  }

  @Override
  public void truth(Truth truth) {
    for (Witness witness : all) {
      witness.truth(truth);
    }
  }

  @Override
  public void commanded(
      long micros, Device device, String from, long seq, long at, double lifetimeS) {
    for (Witness witness : all) {
      witness.commanded(micros, device, from, seq, at, lifetimeS);
    }
  }

  @Override
  public void asked(long micros, SupervisorCommand order) {
    for (Witness witness : all) {
      witness.asked(micros, order);
    }
  }

  @Override
  public void answered(long micros, Device device, Ack ack) {
    for (Witness witness : all) {
      witness.answered(micros, device, ack);
    }
  }

  @Override
  public void told(long micros, SupervisorTelemetry picture) {
    for (Witness witness : all) {
      witness.told(micros, picture);
    }
  }

  @Override
  public void happened(long micros, Device device, Event event) {
    for (Witness witness : all) {
      witness.happened(micros, device, event);
    }
  }

  @Override
  public void alarmed(long micros, Device device, Alarm alarm) {
    for (Witness witness : all) {
      witness.alarmed(micros, device, alarm);
    }
  }

  @Override
  public void present(long micros, Device device, boolean online) {
    for (Witness witness : all) {
      witness.present(micros, device, online);
    }
  }

  @Override
  public void finish(long endMicros) {
    for (Witness witness : all) {
      witness.finish(endMicros);
    }
  }
}
