package islet.live.page;

import java.net.URI;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;

/**
 * What a server of the page has to give.
 *
 * @param first the file that stands at {@code /}
 * @param broker the WebSocket that the page may open
 * @param made what is made anew for each request: JSON by its path, such as {@code
 *     /description.json}; asked for on the server's threads
 * @param papers documents that hold their own looks and no script, HTML or JSON by their path;
 *     empty while there are none
 * @param box where the page may send something
 */
public record PageOffer(
    String first,
    Optional<URI> broker,
    Map<String, Supplier<byte[]>> made,
    Map<String, Supplier<Optional<byte[]>>> papers,
    Optional<LetterBox> box) {

  static final String LIVE_PAGE = "/index.html";

  private static final String BESIDE_PAGE = "/beside.html";

  public PageOffer {
    made = Map.copyOf(made);
    papers = Map.copyOf(papers);
  }

  /** That of the live page, which commands over its broker. */
  public static PageOffer live(URI broker, Map<String, Supplier<byte[]>> made) {
    return new PageOffer(LIVE_PAGE, Optional.of(broker), made, Map.of(), Optional.empty());
  }

  /** That of the page of two sites beside each other, which commands over its broker. */
  public static PageOffer beside(URI broker, Map<String, Supplier<byte[]>> made) {
    return new PageOffer(BESIDE_PAGE, Optional.of(broker), made, Map.of(), Optional.empty());
  }

  /** That of a recording, which nobody commands. */
  static PageOffer recording(Map<String, Supplier<byte[]>> made) {
    return new PageOffer(LIVE_PAGE, Optional.empty(), made, Map.of(), Optional.empty());
  }
}
