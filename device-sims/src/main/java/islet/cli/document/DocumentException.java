package islet.cli.document;

/** A document cannot be made; the message says what was found and what to do. */
public final class DocumentException extends Exception {

  private static final long serialVersionUID = 1;

  DocumentException(String message) {
    super(message);
  }
}
