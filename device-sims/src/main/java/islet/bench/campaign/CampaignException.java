package islet.bench.campaign;

/** A campaign can't be run as it was asked for; the message is for a person. */
public final class CampaignException extends Exception {

  private static final long serialVersionUID = 1L;

  /** Says what was found, what is allowed and what to do. */
  public CampaignException(String message) {
    super(message);
  }
}
