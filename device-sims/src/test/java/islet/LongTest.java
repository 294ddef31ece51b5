package islet;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;

/** For what takes seconds; {@code .ci/run} has it all. */
@Target({ElementType.TYPE, ElementType.METHOD})
@Retention(RetentionPolicy.RUNTIME)
@EnabledIfSystemProperty(
    named = "islet.long",
    matches = "true",
    disabledReason = "takes seconds: -Dislet.long=true")
public @interface LongTest {

  /** Whether all of it was asked for: tests of many random cases take fewer without. */
  boolean ASKED_FOR = Boolean.getBoolean("islet.long");
}
