package islet.cli;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/**
 * Ctrl-C (or a polite kill) during a long run: lets the run end in good order, waits until its
 * verdict has been told and its files are written, and leaves with the verdict's exit code.
 */
final class StopSignal implements AutoCloseable {

  /** Clients say farewell within 3 s and the embedded broker stops within 15 s. */
  private static final long LONGEST_S = 30;

  private final Thread hook = new Thread(this::raised, "islet-stop");
  private final CountDownLatch over = new CountDownLatch(1);
  private Runnable stop = () -> {};
  private boolean signalled;
  private volatile int code = -1;

  StopSignal() {
    Runtime.getRuntime().addShutdownHook(hook);
  }

  /** What ends the run; called at once when the signal has come already. */
  synchronized void stops(Runnable run) {
    stop = run;
    if (signalled) {
      run.run();
    }
  }

  /** The exit code is known, and everything has been told. */
  void leaveWith(int exitCode) {
    code = exitCode;
  }

  private void raised() {
    synchronized (this) {
      signalled = true;
      stop.run();
    }
    try {
      if (over.await(LONGEST_S, TimeUnit.SECONDS) && code >= 0) {
        Runtime.getRuntime().halt(code);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException e) {
      // The machine is on its way down already, and the hook waits for this:
      over.countDown();
    }
  }
}
