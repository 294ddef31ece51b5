package islet.cli;

import islet.live.SurroundingsException;
import islet.live.page.PageServer;
import islet.live.page.Recording;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.CountDownLatch;

/** Serves a recorded run on the page until Ctrl-C. */
final class RecordingPage {

  private RecordingPage() {}

  /**
   * Serves it.
   *
   * @param folder that a run left behind
   * @param port 0 for one that is free
   * @return the exit code
   */
  static int serve(Path folder, int port, PrintWriter out)
      throws IOException, SurroundingsException {
    Recording recording = Recording.read(folder);
    try (StopSignal signal = new StopSignal()) {
      CountDownLatch asked = new CountDownLatch(1);
      try (PageServer page =
          PageServer.start(
              port,
              Map.of(
                  "/description.json", recording::description,
                  "/recording.json", recording::json))) {
        signal.stops(asked::countDown);
        out.println(recording.title() + ", as " + folder + " has it. Nothing is run.");
        out.println("The page is at " + page.url() + "\nCtrl-C ends.");
        out.flush();
        asked.await();
      } catch (InterruptedException e) {
        // Whoever interrupts wants what Ctrl-C does.
        Thread.currentThread().interrupt();
      }
      signal.leaveWith(Main.PASSED);
    }
    return Main.PASSED;
  }
}
