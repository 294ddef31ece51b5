package islet.live.page;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** {@code ./islet live FILE --page PORT} as a process of its own, as a teacher starts it. */
final class PageRun implements AutoCloseable {

  static final Path ROOT = Path.of(System.getProperty("islet.root"));

  private static final Pattern ADDRESS = Pattern.compile("http://127\\.0\\.0\\.1:(\\d+)/");
  private static final int START_LIMIT_S = 30;

  private final Process process;
  private final int port;
  private final StringBuilder said = new StringBuilder();

  /**
   * Starts it and waits until it has said where the page is.
   *
   * @param file a scenario or site, from the repository's root
   * @param wished the page's port; 0 for a free one
   */
  PageRun(String file, int wished) throws Exception {
    this(List.of("live", ROOT.resolve(file).toString(), "--page", String.valueOf(wished)));
  }

  /** The same at two sites beside each other, with more options. */
  static PageRun beside(String file, String other, String... more) throws Exception {
    List<String> words = new ArrayList<>(List.of("live", ROOT.resolve(file).toString()));
    words.addAll(List.of("--beside", other, "--page", "0"));
    words.addAll(List.of(more));
    return new PageRun(words);
  }

  /** A guided rehearsal on the page, at a free port, with more options. */
  static PageRun guided(Path scenario, Path folder, String... more) throws Exception {
    List<String> words = new ArrayList<>(List.of("rehearse", "--guided", "--page", "0"));
    words.addAll(List.of(more));
    words.addAll(List.of("--out", folder.toString(), scenario.toString()));
    return new PageRun(words);
  }

  /** Any command that says where its page is. */
  static PageRun of(String... words) throws Exception {
    return new PageRun(List.of(words));
  }

  /** Makes an account with a password of its own and leaves both in files. */
  static void makeAccount(Path accounts, String user, String roles, Path password)
      throws Exception {
    Process made =
        launch(
            List.of(
                "account",
                accounts.toString(),
                "--user",
                user,
                "--role",
                roles,
                "--password-file",
                password.toString()));
    String said = new String(made.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (made.waitFor() != 0) {
      throw new IllegalStateException("No account was made: " + said);
    }
  }

  private PageRun(List<String> words) throws Exception {
    process = launch(words);
    CompletableFuture<Integer> told = new CompletableFuture<>();
    Thread reader = new Thread(() -> read(told), "what the live run says");
    reader.setDaemon(true);
    reader.start();
    try {
      port = told.get(START_LIMIT_S, TimeUnit.SECONDS);
    } catch (ExecutionException | TimeoutException e) {
      process.destroyForcibly();
      throw e;
    }
  }

  /** Starts a command as a process of its own, as a user would. */
  static Process launch(List<String> words) throws IOException {
    List<String> command =
        new ArrayList<>(
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:+UseSerialGC",
                "-Xshare:auto",
                "-XX:TieredStopAtLevel=1",
                "-cp",
                System.getProperty("java.class.path"),
                "-Dlogback.configurationFile=islet/cli/logging.xml",
                "islet.cli.Main"));
    command.addAll(words);
    return new ProcessBuilder(command).redirectErrorStream(true).start();
  }

  private void read(CompletableFuture<Integer> told) {
    try (BufferedReader lines = process.inputReader(StandardCharsets.UTF_8)) {
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        synchronized (said) {
          said.append(line).append('\n');
        }
        Matcher address = ADDRESS.matcher(line);
        if (address.find()) {
          told.complete(Integer.parseInt(address.group(1)));
        }
      }
      told.completeExceptionally(new IllegalStateException("It ended: " + said()));
    } catch (IOException e) {
      told.completeExceptionally(new UncheckedIOException(e));
    }
  }

  int port() {
    return port;
  }

  String url() {
    return "http://127.0.0.1:" + port + "/";
  }

  String said() {
    synchronized (said) {
      return said.toString();
    }
  }

  /** Waits for its own end. */
  int exitCode() throws Exception {
    return process.onExit().get(10, TimeUnit.SECONDS).exitValue();
  }

  /** Ends it as a power cut would. */
  void kill() {
    process.destroyForcibly().onExit().join();
  }

  @Override
  public void close() {
    process.destroy();
    try {
      process.onExit().get(10, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (ExecutionException | TimeoutException e) {
      process.destroyForcibly().onExit().join();
    }
  }
}
