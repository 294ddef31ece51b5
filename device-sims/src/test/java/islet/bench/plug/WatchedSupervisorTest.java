package islet.bench.plug;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.control.Inputs;
import islet.control.Outputs;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** What docs/own-supervisor.md promises of thinking, kept for a supervisor from outside. */
class WatchedSupervisorTest {

  private static final Site SITE =
      SiteReader.read(Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"));

  /** Thinks once, or fails at it. */
  private static final class Ponderer implements Supervisor {
    private final boolean fails;
    private int thoughts;

    Ponderer(boolean fails) {
      this.fails = fails;
    }

    @Override
    public void scan(Inputs in, long nowMicros, Outputs out) {
      out.begin();
    }

    @Override
    public boolean wantsToThink() {
      return thoughts == 0;
    }

    @Override
    public void think() {
      if (fails) {
        throw new IllegalStateException("no idea");
      }
      thoughts++;
    }
  }

  private static Supervisor watched(Ponderer ponderer) {
    return WatchedSupervisor.of(
        new SupervisorMaker() {
          @Override
          public String name() {
            return "ponderer";
          }

          @Override
          public Supervisor make(Site site) {
            return ponderer;
          }
        },
        SITE);
  }

  @Test
  void itIsAskedWhetherItWantsToThinkAndThinks() {
    Ponderer ponderer = new Ponderer(false);
    Supervisor watched = watched(ponderer);
    assertTrue(watched.wantsToThink());
    watched.think();
    assertEquals(1, ponderer.thoughts);
    assertFalse(watched.wantsToThink());
  }

  @Test
  void whatItThrowsWhileThinkingIsItsOwnCrash() {
    Supervisor watched = watched(new Ponderer(true));
    SupervisorCrash crash = assertThrows(SupervisorCrash.class, watched::think);
    assertTrue(crash.sentence().contains("no idea"), crash.sentence());
  }
}
