package islet.bench.campaign;

/** The cases of a campaign, made one by one when they are needed. */
interface Cases {

  /** How many there are. */
  long count();

  /**
   * One of them.
   *
   * @param number 0 to {@link #count} − 1
   * @param id its number in the campaign
   */
  CampaignCase of(long number, long id);
}
