package islet.plant;

/** Energy or charge was made or lost; the message lists every term of the balance. */
public final class BooksException extends RuntimeException {
  private static final long serialVersionUID = 1L;

  BooksException(String message) {
    super(message);
  }
}
