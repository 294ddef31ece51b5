package islet.live.page;

import java.util.function.Function;

/**
 * The one address to which a page may send something.
 *
 * @param path such as {@code /answer.json}
 * @param token a secret of this process that only its own page can read; each request carries it
 * @param take takes the request's body, on the server's threads
 */
public record LetterBox(String path, String token, Function<byte[], Reply> take) {

  /** The header with the token. A page of another origin may not set it without being asked. */
  static final String TOKEN_HEADER = "Islet-Token";

  /** A long remark and a book of measured values, and no more. */
  static final int MOST_BYTES = 65_536;
}
