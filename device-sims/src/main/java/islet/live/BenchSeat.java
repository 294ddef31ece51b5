package islet.live;

import java.util.Optional;

/**
 * A live run that lets itself be watched and commanded on the bench's own topics.
 *
 * @param run counts the runs of this process, from 1
 * @param scenario the name of what is played
 * @param wishes where a wish for another run goes
 */
public record BenchSeat(long run, String scenario, Wishes wishes) {

  /** What only whoever starts runs can do; called on the run's own thread. */
  public interface Wishes {

    /**
     * Another run shall follow this one at once.
     *
     * @param scenario the name of what shall be played
     * @param speed site seconds in a wall second
     * @return why not, in a sentence; empty when it will follow
     */
    Optional<String> another(String scenario, double speed);
  }
}
