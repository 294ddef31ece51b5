package islet.cli.document;

import islet.live.page.Lessons.Lesson;

/** The lessons of docs/lessons, for the live page. */
public final class LessonList {

  private LessonList() {}

  /** Their names, titles and scenarios. */
  public static islet.live.page.Lessons lessons() {
    return new islet.live.page.Lessons(
        Lessons.all().stream()
            .map(lesson -> new Lesson(lesson.name(), lesson.title(), lesson.scenarios()))
            .toList());
  }
}
