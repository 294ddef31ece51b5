package islet.bench.campaign;

/** Runs a case, or looks up what it came to before. */
@FunctionalInterface
interface Judge {

  /** The case's row. */
  CaseRow judge(CampaignCase one);
}
