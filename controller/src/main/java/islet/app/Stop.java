package islet.app;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/** Ctrl-C or a polite kill: lets the controller end in good order and leave with its exit code. */
final class Stop {

  /** The broker's farewell takes up to 3 s, the journal's as long. */
  private static final long LONGEST_S = 10;

  private final CountDownLatch over = new CountDownLatch(1);
  private volatile int code = 1;

  Stop(Runnable stop) {
    Thread hook =
        new Thread(
            () -> {
              stop.run();
              await();
            },
            "islet-stop");
    Runtime.getRuntime().addShutdownHook(hook);
  }

  private void await() {
    try {
      if (over.await(LONGEST_S, TimeUnit.SECONDS)) {
        Runtime.getRuntime().halt(code);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Everything has been said and written. */
  void leaveWith(int exitCode) {
    code = exitCode;
    over.countDown();
  }
}
