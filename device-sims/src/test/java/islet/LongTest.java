package islet;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;

/** For what takes many seconds and has something shorter beside it; {@code .ci/run} has it all. */
@Target({ElementType.TYPE, ElementType.METHOD})
@Retention(RetentionPolicy.RUNTIME)
@EnabledIfSystemProperty(
    named = "islet.long",
    matches = "true",
    disabledReason = "takes ten seconds or more: -Dislet.long=true")
public @interface LongTest {}
