package islet.plant;

/** No operating point was found; the message holds the whole electrical state. */
public final class SolverException extends RuntimeException {
  private static final long serialVersionUID = 1L;

  SolverException(String message) {
    super(message);
  }
}
