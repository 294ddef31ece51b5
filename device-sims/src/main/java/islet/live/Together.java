package islet.live;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.Stage;
import islet.contract.RunState;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The sites of one live run, as far as they share things: one clock, one sky, one utility, and
 * people who turn on the same loads. A run of one site is the plain case of it.
 *
 * <p>What befalls utility, sky or loads befalls every site at the same instant, whichever site's
 * bench was asked. A fault, or a hand on a switch, is of the site whose bench was asked; of every
 * site that has the part when its text stands under {@code both}.
 */
final class Together {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String BOTH = "both";

  private record Member(Stage stage, BenchVoice voice) {}

  /**
   * What became of an event.
   *
   * @param refusal why it does not happen anywhere, in a sentence; empty when it does
   * @param remark at which site it does not happen, and why; may be empty
   */
  record Outcome(Optional<String> refusal, String remark) {}

  private final List<Member> members = new ArrayList<>();

  void add(Stage stage, BenchVoice voice) {
    members.add(new Member(stage, voice));
  }

  /** The run stands otherwise now. */
  void stands(RunState state) {
    members.forEach(member -> member.voice().stands(state));
  }

  void tellState() {
    members.forEach(member -> member.voice().tellState());
  }

  void bookmark(String words) {
    for (Member member : members) {
      member.stage().note("bench", "bookmark", "", words, "");
      member.voice().bookmarked(words);
    }
  }

  /** When the next scan of any of the supervisors is due, µs since the Unix epoch. */
  long nextScan() {
    return members.stream().mapToLong(member -> member.stage().nextScan()).min().orElseThrow();
  }

  void restore() {
    members.forEach(member -> member.stage().restore());
  }

  /**
   * Lets an event happen at the present instant.
   *
   * @param own the site whose bench was asked
   * @param text YAML or JSON
   */
  Outcome event(Stage own, String text) {
    if (members.size() == 1) {
      return new Outcome(own.takeEvent(text), "");
    }
    Optional<String> both = both(text);
    if (both.isPresent() || Stage.isOfSurroundings(text)) {
      return everywhere(both.orElse(text));
    }
    return new Outcome(own.takeEvent(text), "");
  }

  private Outcome everywhere(String text) {
    List<String> reasons = new ArrayList<>();
    List<String> remarks = new ArrayList<>();
    for (Member member : members) {
      member
          .stage()
          .takeEvent(text)
          .ifPresent(
              reason -> {
                reasons.add(reason);
                remarks.add("Not at " + member.stage().site().id() + ": " + reason);
              });
    }
    return reasons.size() == members.size()
        ? new Outcome(Optional.of(reasons.get(0)), "")
        : new Outcome(Optional.empty(), String.join(" ", remarks));
  }

  /** What stands under {@code both}, when nothing else stands beside it. */
  private static Optional<String> both(String text) {
    try {
      JsonNode tree = JSON.readTree(text);
      return tree != null && tree.isObject() && tree.size() == 1 && tree.has(BOTH)
          ? Optional.of(tree.get(BOTH).toString())
          : Optional.empty();
    } catch (JsonProcessingException e) {
      return Optional.empty(); // YAML, or nothing that can be read, which its reader tells
    }
  }
}
