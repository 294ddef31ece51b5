package islet.executive;

import islet.control.Keepsake;
import java.util.Map;

/**
 * Gives back what {@link KeepsakeNotes} wrote down. What is missing, or is no such value (written
 * by another version), stays as it is.
 */
public final class Restored implements Keepsake {

  private final Map<String, String> notes;

  /** Gives back these notes. */
  public Restored(Map<String, String> notes) {
    this.notes = notes;
  }

  @Override
  public long instant(String name, long value) {
    return count(name, value);
  }

  @Override
  public long count(String name, long value) {
    String text = notes.get(name);
    try {
      return text == null ? value : Long.parseLong(text);
    } catch (NumberFormatException e) {
      return value;
    }
  }

  @Override
  public double estimate(String name, double value) {
    String text = notes.get(name);
    try {
      double number = text == null ? value : Double.parseDouble(text);
      return Double.isFinite(number) ? number : value;
    } catch (NumberFormatException e) {
      return value;
    }
  }

  @Override
  public boolean flag(String name, boolean value) {
    String text = notes.get(name);
    return text == null ? value : text.equals("true");
  }

  @Override
  public <E extends Enum<E>> E word(String name, E value) {
    String text = notes.get(name);
    if (text != null) {
      for (E constant : value.getDeclaringClass().getEnumConstants()) {
        if (constant.name().equals(text)) {
          return constant;
        }
      }
    }
    return value;
  }

  @Override
  public String text(String name, String value) {
    String text = notes.get(name);
    return text == null ? value : text;
  }
}
