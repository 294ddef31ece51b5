package islet.live.page;

import java.io.IOException;
import java.io.InputStream;
import java.util.Map;
import java.util.Optional;
import java.util.Properties;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The page's files as they lie on the class path, and those of the libraries that it uses. What is
 * asked for must look like one of these files' names, so that nothing else can be reached.
 */
final class PageFiles {

  private static final String ROOT = "/islet/page/";
  private static final String FIRST = "index.html";

  /** At most three folders deep; no name begins with a dot. */
  private static final Pattern NAME =
      Pattern.compile("(?:[a-z0-9][a-z0-9._-]*/){0,3}[a-z0-9][a-z0-9._-]*\\.([a-z0-9]+)");

  private static final Map<String, String> TYPES =
      Map.of(
          "html", "text/html; charset=utf-8",
          "css", "text/css; charset=utf-8",
          "js", "text/javascript; charset=utf-8",
          "mjs", "text/javascript; charset=utf-8",
          "json", PageFile.JSON,
          "svg", "image/svg+xml",
          "png", "image/png",
          "ico", "image/x-icon",
          "webmanifest", "application/manifest+json",
          "txt", "text/plain; charset=utf-8");

  private static final String CHART = "org.webjars.npm/uplot";

  /** Files of libraries: the address, and where it is in the library's jar. */
  private static final Map<String, String> LIBRARIES =
      Map.of(
          "lib/uplot/uPlot.esm.js", "dist/uPlot.esm.js",
          "lib/uplot/uPlot.min.css", "dist/uPlot.min.css",
          "lib/uplot/LICENSE", "LICENSE");

  private PageFiles() {}

  /**
   * The file at an address.
   *
   * @param path as it stands in the request, beginning with a slash
   */
  static Optional<PageFile> at(String path) throws IOException {
    String name = path.equals("/") ? FIRST : path.substring(1);
    if (LIBRARIES.containsKey(name)) {
      return read(library(LIBRARIES.get(name)), typeOf(name));
    }
    Matcher matcher = NAME.matcher(name);
    if (!matcher.matches() || !TYPES.containsKey(matcher.group(1))) {
      return Optional.empty();
    }
    return read(ROOT + name, typeOf(name));
  }

  private static String typeOf(String name) {
    String ending = name.substring(name.lastIndexOf('.') + 1);
    return TYPES.getOrDefault(ending, "text/plain; charset=utf-8");
  }

  /** The version stands in the jar itself, so that the build's file alone says which it is. */
  private static String library(String file) throws IOException {
    Properties about = new Properties();
    try (InputStream in =
        PageFiles.class.getResourceAsStream("/META-INF/maven/" + CHART + "/pom.properties")) {
      if (in == null) {
        throw new IOException("The library " + CHART + " is not on the class path.");
      }
      about.load(in);
    }
    return "/META-INF/resources/webjars/uplot/"
        + String.valueOf(about.getProperty("version"))
        + "/"
        + file;
  }

  private static Optional<PageFile> read(String resource, String type) throws IOException {
    try (InputStream in = PageFiles.class.getResourceAsStream(resource)) {
      return in == null ? Optional.empty() : Optional.of(new PageFile(in.readAllBytes(), type));
    }
  }
}
