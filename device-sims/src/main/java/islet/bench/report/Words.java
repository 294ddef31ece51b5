package islet.bench.report;

import islet.contract.ChargeStage;
import islet.contract.InverterState;
import islet.contract.Mode;
import java.util.Locale;

/** Names as a person reads them, and the ground on which each state is drawn. */
final class Words {

  private Words() {}

  /** {@code GRID_PRESENT}, {@code gridPresent} or {@code grid-present} as {@code Grid present}. */
  static String of(String name) {
    StringBuilder out = new StringBuilder();
    boolean shout = name.equals(name.toUpperCase(Locale.ROOT));
    for (int i = 0; i < name.length(); i++) {
      char c = name.charAt(i);
      if (c == '_' || c == '-') {
        out.append(' ');
      } else if (out.length() == 0) {
        out.append(Character.toUpperCase(c));
      } else if (shout) {
        out.append(Character.toLowerCase(c));
      } else if (Character.isUpperCase(c) && Character.isLowerCase(name.charAt(i - 1))) {
        out.append(' ').append(Character.toLowerCase(c));
      } else {
        out.append(c);
      }
    }
    return out.toString();
  }

  /** A constant as {@code Grid present}. */
  static String of(Enum<?> constant) {
    return of(constant.name());
  }

  /** The ground of a mode. Only the two that need a person have a colour. */
  static String ground(Mode mode) {
    return switch (mode) {
      case STARTING -> "f-dots";
      case GRID_PRESENT -> "f-light";
      case ISLANDING -> "f-rise";
      case ISLANDED -> "f-mid";
      case RECONNECTING -> "f-fall";
      case DARK -> "f-dark";
      case HELD -> "f-held";
    };
  }

  /** The ground of a charge stage. */
  static String ground(ChargeStage stage) {
    return switch (stage) {
      case OFF -> "f-paper";
      case BULK -> "f-mid";
      case ABSORPTION -> "f-fall";
      case FLOAT -> "f-light";
      case EQUALISE -> "f-bars";
      case REST -> "f-dots";
    };
  }

  /** The ground of an inverter's state. */
  static String ground(InverterState state) {
    return switch (state) {
      case OFF -> "f-paper";
      case STARTING -> "f-dots";
      case FOLLOWING -> "f-light";
      case FORMING -> "f-mid";
      case SYNCHRONISING -> "f-fall";
      case FAULT -> "f-dark";
    };
  }
}
