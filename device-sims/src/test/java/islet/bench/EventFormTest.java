package islet.bench;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.bench.EventForm.Field;
import islet.fault.FaultKind;
import islet.site.InputException;
import islet.site.Site;
import java.math.BigDecimal;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/**
 * What the page is told of events and faults, judged by the reader that takes them: it takes what
 * is described, at both ends of each range too, and nothing beyond.
 */
class EventFormTest {

  private static final Site.Arrangement ALL = Site.Arrangement.TWO_PANEL;

  private static String event(EventForm form, String changed, String value) {
    return form.fields().stream()
        .map(field -> field.name() + ": " + (field.name().equals(changed) ? value : usual(field)))
        .collect(Collectors.joining(", ", "{ " + form.group() + ": { ", " } }"));
  }

  private static List<EventForm> all() {
    return Stream.concat(EventForm.UTILITY.stream(), EventForm.ANYWHERE.stream()).toList();
  }

  private static String usual(Field field) {
    return field.form() == EventForm.Form.DURATIONS ? "[" + field.usual() + "]" : field.usual();
  }

  private static String written(Field field, double value) {
    String number = new BigDecimal(Double.toString(value)).toPlainString();
    return switch (field.form()) {
      case NUMBER -> number;
      case QUANTITY -> number + " " + field.unit();
      case DURATION -> Duration.ofNanos(Math.round(value * 1e9)).toString();
      case DURATIONS -> "[" + Duration.ofNanos(Math.round(value * 1e9)) + "]";
    };
  }

  private static Event read(String text) {
    return EventReader.eventNow(ALL, "test", text);
  }

  private static void refused(String text) {
    assertThrows(InputException.class, () -> read(text), text);
  }

  @Test
  void theReaderTakesEveryEventAsDescribed() {
    for (EventForm form : all()) {
      assertEquals(form.name(), form.fields().get(0).name());
      read(event(form, "", ""));
      for (Field field : form.fields()) {
        read(event(form, field.name(), written(field, field.minimum())));
        read(event(form, field.name(), written(field, field.maximum())));
        refused(event(form, field.name(), "much"));
        if (field.form() == EventForm.Form.NUMBER || field.form() == EventForm.Form.QUANTITY) {
          double over = field.maximum() + 0.01;
          double under = field.minimum() - (field.minimum() == 0.001 ? 0.001 : 0.01);
          refused(event(form, field.name(), written(field, over)));
          refused(event(form, field.name(), written(field, under)));
        }
      }
    }
  }

  @Test
  void whatMayBeLeftOutIsSaidRightly() {
    for (EventForm form : all()) {
      for (Field field : form.fields()) {
        List<Field> others = new ArrayList<>(form.fields());
        others.remove(field);
        if (others.isEmpty()) {
          continue;
        }
        String without =
            new EventForm(form.name(), form.title(), form.group(), others)
                .fields().stream()
                    .map(f -> f.name() + ": " + usual(f))
                    .collect(Collectors.joining(", ", "{ " + form.group() + ": { ", " } }"));
        if (field.required()) {
          refused(without);
        } else {
          assertDoesNotThrow(() -> read(without));
        }
      }
    }
  }

  @Test
  void aSiteWithoutAUtilityHasNoneOfThem() {
    for (EventForm form : EventForm.UTILITY) {
      String text = event(form, "", "");
      assertThrows(
          InputException.class,
          () -> EventReader.eventNow(Site.Arrangement.STANDALONE, "test", text));
    }
  }

  @Test
  void theReaderTakesEveryFaultWithItsUsualNumbersWhereItIsSaidToBite() {
    for (Site.Arrangement arrangement : Site.Arrangement.values()) {
      for (FaultKind kind : FaultKind.values()) {
        List<FaultKind.Target> targets = FaultTargets.of(kind, arrangement);
        for (FaultKind.Target target : targets) {
          List<String> signals = target.signals().isEmpty() ? List.of("") : target.signals();
          for (String signal : signals) {
            Event.Fault fault =
                (Event.Fault)
                    EventReader.eventNow(arrangement, "test", fault(kind, target, signal));
            assertEquals(kind, fault.kind());
            assertEquals(target.device(), fault.device());
          }
        }
        for (FaultKind.Target elsewhere : kind.targets()) {
          if (!targets.contains(elsewhere)) {
            String signal = elsewhere.signals().isEmpty() ? "" : elsewhere.signals().get(0);
            String text = fault(kind, elsewhere, signal);
            assertThrows(
                InputException.class, () -> EventReader.eventNow(arrangement, "test", text), text);
          }
        }
      }
    }
  }

  @Test
  void usualNumbersLieWithinTheirRanges() {
    for (FaultKind kind : FaultKind.values()) {
      for (FaultKind.Parameter p : kind.parameters()) {
        assertTrue(p.usual() >= p.minimum() && p.usual() <= p.maximum(), kind + " " + p.name());
        assertFalse(p.usual() == 0, () -> kind + " " + p.name() + " would show nothing");
      }
    }
  }

  private static String fault(FaultKind kind, FaultKind.Target target, String signal) {
    StringBuilder text = new StringBuilder("{ fault: { kind: ").append(kind.word());
    text.append(", device: ").append(target.device());
    if (!signal.isEmpty()) {
      text.append(", signal: ").append(signal);
    }
    kind.parameters()
        .forEach(p -> text.append(", ").append(p.name()).append(": ").append(p.usual()));
    if (!kind.claims().isEmpty()) {
      text.append(", as: ").append(kind.claims().get(0));
    }
    return text.append(" }, for: PT1M }").toString();
  }
}
