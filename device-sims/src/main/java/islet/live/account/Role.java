package islet.live.account;

import islet.contract.Device;
import islet.contract.Kind;
import java.util.Locale;

/** What an account is for. Each reads everything of its site; they differ in what they write. */
public enum Role {
  /** Speaks for the supervisor and commands the devices. */
  SUPERVISOR {
    @Override
    boolean writes(Device device, Kind kind) {
      return switch (device) {
        case SUPERVISOR -> kind == Kind.SCANNED || told(kind);
        case REGULATOR, INVERTER, CHARGER, TIE, METER -> kind == Kind.COMMAND;
        case BENCH -> false;
      };
    }
  },
  /** Speaks for the devices. */
  DEVICES {
    @Override
    boolean writes(Device device, Kind kind) {
      return switch (device) {
        case REGULATOR, INVERTER, CHARGER, TIE, METER -> told(kind);
        case SUPERVISOR, BENCH -> false;
      };
    }
  },
  /** A person who asks the supervisor for something. */
  OPERATOR {
    @Override
    boolean writes(Device device, Kind kind) {
      return device == Device.SUPERVISOR && kind == Kind.COMMAND;
    }
  },
  /** Looks on. */
  VIEWER {
    @Override
    boolean writes(Device device, Kind kind) {
      return false;
    }
  },
  /** Steps and disturbs simulated devices; nothing that belongs to a real site. */
  BENCH {
    @Override
    boolean writes(Device device, Kind kind) {
      return device == Device.BENCH;
    }
  };

  private final String word = name().toLowerCase(Locale.ROOT);

  /** The word for it in an accounts file. */
  public String word() {
    return word;
  }

  /** Whether a kind of message is one in which a party tells of itself. */
  private static boolean told(Kind kind) {
    return switch (kind) {
      case TELEMETRY, STATE, ONLINE, ACK, EVENT, ALARM -> true;
      case COMMAND, STEP, SCANNED, MARGIN, LEDGER -> false;
    };
  }

  /** Whether it may publish on a device's topic of one kind. */
  abstract boolean writes(Device device, Kind kind);
}
