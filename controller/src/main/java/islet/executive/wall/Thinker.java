package islet.executive.wall;

import java.util.concurrent.Executor;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;

/** A thread beside the scan, for what takes longer than a scan may. It ends with the process. */
public final class Thinker {

  private Thinker() {}

  /** Runs what it is given one after the other. */
  public static Executor beside() {
    return new ThreadPoolExecutor(
        1, 1, 0, TimeUnit.SECONDS, new LinkedBlockingQueue<>(), Thinker::thread);
  }

  private static Thread thread(Runnable work) {
    Thread thread = new Thread(work, "islet-thinker");
    thread.setDaemon(true);
    return thread;
  }
}
