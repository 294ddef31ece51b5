package islet.control;

import islet.site.Site.Battery;

/** What the supervisor believes about a cell, to tell the state of charge from its voltage. */
sealed interface CellModel permits LeadAcidCell, LfpCell {

  /** The model for a bank's chemistry. */
  static CellModel of(Battery battery) {
    return switch (battery.chemistry()) {
      case LEAD_ACID -> new LeadAcidCell(battery);
      case LFP -> new LfpCell(battery);
    };
  }

  /** Resting voltage at a state of charge, V; rises with it. */
  double restingV(double soc);

  /** Voltage drop of a current, V, positive while it charges; rises with the state of charge. */
  double dropV(double soc, double currentA, double temperatureC);

  /** How far a guess by voltage may be off. */
  double guessDoubt();

  /** How far a cell may be from full when its charging current has tailed off. */
  double fullDoubt();

  /** Whether a resting cell's voltage tells more than a count that has run for long. */
  boolean tellsAtRest(double soc);

  /** Share of the charging current that is stored below full; the rest is taken as lost. */
  double coulombicShare();

  /** Charge that a full cell holds, as a multiple of its 20-hour capacity, 1 or more. */
  double heldPerRated();
}
