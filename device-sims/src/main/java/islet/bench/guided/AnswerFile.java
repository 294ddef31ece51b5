package islet.bench.guided;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.bench.RunFolder;
import islet.bench.RunFolderException;
import islet.bench.Sight;
import java.io.IOException;
import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;

/**
 * The answers of a guided rehearsal that is not over yet: a line of JSON for each, on the disk
 * before the next question is asked. A last line that a kill has cut short is left out when the
 * file is read, and its step is asked again.
 */
public final class AnswerFile {

  /**
   * What the answers belong to; the first line of the file.
   *
   * @param scenarioSha256 of the scenario as resolved
   * @param supervisor whose logic runs the site
   * @param begun when the first question was asked, ISO 8601 with offset
   */
  public record Head(String scenarioSha256, String supervisor, String begun) {}

  private static final JsonFactory JSON = new JsonFactory();
  private static final ObjectMapper READER = new ObjectMapper();

  /** A book of answers; more is no file of ours. */
  private static final long MOST_BYTES = 20_000_000;

  private final Path file;
  private final Head head;
  private final List<Answer> answers;

  private AnswerFile(Path file, Head head, List<Answer> answers) {
    this.file = file;
    this.head = head;
    this.answers = answers;
  }

  /**
   * Begins the file in a run's folder, which is made when it is missing.
   *
   * @throws IOException when it stands there already, or can't be written
   */
  public static AnswerFile begin(Path folder, Head head) throws IOException {
    Files.createDirectories(folder);
    Path file = RunFolder.answers(folder);
    write(file, line(head), StandardOpenOption.CREATE_NEW);
    return new AnswerFile(file, head, new ArrayList<>());
  }

  /**
   * Opens the file to go on with it.
   *
   * @param now what the run is that shall go on; the instant of its beginning is the file's
   * @throws RunFolderException when its answers belong to another case, or can't be read
   */
  public static AnswerFile resume(Path folder, Head now) throws IOException, RunFolderException {
    Path file = RunFolder.answers(folder);
    if (Files.size(file) > MOST_BYTES) {
      throw new RunFolderException(
          file
              + ": found "
              + Files.size(file)
              + " bytes; allowed are at most "
              + MOST_BYTES
              + ". Begin again in another folder with --out.");
    }
    byte[] bytes = Files.readAllBytes(file);
    int whole = bytes.length;
    while (whole > 0 && bytes[whole - 1] != '\n') {
      whole--;
    }
    List<String> lines = new String(bytes, 0, whole, StandardCharsets.UTF_8).lines().toList();
    if (lines.isEmpty()) {
      // Killed before even the first line was down: nothing has been answered.
      Files.delete(file);
      return begin(folder, now);
    }
    Head head = head(file, lines.get(0));
    if (!head.scenarioSha256().equals(now.scenarioSha256())
        || !head.supervisor().equals(now.supervisor())) {
      throw new RunFolderException(
          file
              + ", line 1: found answers to another case (scenario "
              + head.scenarioSha256()
              + ", supervisor "
              + head.supervisor()
              + "); allowed is the scenario as it was then ("
              + now.scenarioSha256()
              + ", "
              + now.supervisor()
              + " now). Undo the change, or begin again in another folder with --out.");
    }
    List<Answer> answers = new ArrayList<>();
    for (int i = 1; i < lines.size(); i++) {
      Answer answer = answer(file, i + 1, lines.get(i));
      if (answer.step() != i) {
        throw damaged(file, i + 1, "the answer to step " + answer.step());
      }
      answers.add(answer);
    }
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.truncate(whole);
    }
    return new AnswerFile(file, head, answers);
  }

  /** When the first question was asked. */
  public String begun() {
    return head.begun();
  }

  /** The answers so far, by step. */
  public List<Answer> answers() {
    return List.copyOf(answers);
  }

  /** Adds an answer; it is on the disk when this returns. */
  public void add(Answer answer) throws IOException {
    write(file, line(answer), StandardOpenOption.APPEND);
    answers.add(answer);
  }

  private static void write(Path file, String line, StandardOpenOption how) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE, how)) {
      ByteBuffer bytes = ByteBuffer.wrap((line + "\n").getBytes(StandardCharsets.UTF_8));
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
      channel.force(true);
    }
  }

  private static String line(Head head) throws IOException {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.writeStartObject();
      json.writeStringField("scenarioSha256", head.scenarioSha256());
      json.writeStringField("supervisor", head.supervisor());
      json.writeStringField("begun", head.begun());
      json.writeEndObject();
    }
    return text.toString();
  }

  private static String line(Answer answer) throws IOException {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = JSON.createGenerator(text)) {
      json.writeStartObject();
      json.writeNumberField("step", answer.step());
      json.writeStringField("verdict", answer.verdict().word());
      json.writeStringField("remark", answer.remark());
      json.writeStringField("who", answer.who());
      json.writeStringField("when", answer.when());
      json.writeNumberField("micros", answer.sight().micros());
      json.writeStringField("mode", answer.sight().mode());
      json.writeArrayFieldStart("readings");
      for (int i = 0; i < answer.sight().readings().size(); i++) {
        Sight.Reading reading = answer.sight().readings().get(i);
        json.writeStartObject();
        json.writeStringField("signal", reading.signal());
        json.writeStringField("value", reading.value());
        json.writeStringField("unit", reading.unit());
        json.writeStringField("measured", answer.measured().get(i));
        json.writeEndObject();
      }
      json.writeEndArray();
      json.writeArrayFieldStart("alarms");
      for (String alarm : answer.sight().alarms()) {
        json.writeString(alarm);
      }
      json.writeEndArray();
      json.writeEndObject();
    }
    return text.toString();
  }

  private static Head head(Path file, String line) throws RunFolderException {
    JsonNode json = json(file, 1, line);
    return new Head(
        text(file, 1, json, "scenarioSha256"),
        text(file, 1, json, "supervisor"),
        text(file, 1, json, "begun"));
  }

  private static Answer answer(Path file, int number, String line) throws RunFolderException {
    JsonNode json = json(file, number, line);
    List<Sight.Reading> readings = new ArrayList<>();
    List<String> measured = new ArrayList<>();
    for (JsonNode reading : json.path("readings")) {
      readings.add(
          new Sight.Reading(
              text(file, number, reading, "signal"),
              text(file, number, reading, "value"),
              text(file, number, reading, "unit")));
      measured.add(text(file, number, reading, "measured"));
    }
    List<String> alarms = new ArrayList<>();
    json.path("alarms").forEach(alarm -> alarms.add(alarm.asText()));
    String word = text(file, number, json, "verdict");
    return new Answer(
        json.path("step").asInt(),
        new Sight(json.path("micros").asLong(), text(file, number, json, "mode"), readings, alarms),
        Verdict.of(word).orElseThrow(() -> damaged(file, number, "the verdict " + word)),
        measured,
        text(file, number, json, "remark"),
        text(file, number, json, "who"),
        text(file, number, json, "when"));
  }

  private static JsonNode json(Path file, int number, String line) throws RunFolderException {
    try {
      return READER.readTree(line);
    } catch (JsonProcessingException e) {
      throw damaged(file, number, "a line that is not JSON");
    }
  }

  private static String text(Path file, int number, JsonNode json, String name)
      throws RunFolderException {
    JsonNode value = json.path(name);
    if (!value.isTextual()) {
      throw damaged(file, number, "no text in the field " + name);
    }
    return value.asText();
  }

  private static RunFolderException damaged(Path file, int number, String found) {
    return new RunFolderException(
        file
            + ", line "
            + number
            + ": found "
            + found
            + "; allowed is the file as a guided rehearsal left it. Undo the change, or begin again"
            + " in another folder with --out.");
  }
}
