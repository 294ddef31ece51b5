package islet.live;

import java.util.ArrayList;
import java.util.List;

/** What a trial has found wrong; told as it is found, from any thread. */
final class Findings {

  private final List<String> sentences = new ArrayList<>();

  synchronized void add(String sentence) {
    sentences.add(sentence);
    System.out.println("FOUND " + sentence);
  }

  synchronized List<String> all() {
    return List.copyOf(sentences);
  }
}
