package islet.cli.document;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.ObjectMapper;
import islet.contract.Ack;
import islet.contract.Alarm;
import islet.contract.Device;
import islet.contract.DeviceState;
import islet.contract.Event;
import islet.contract.Kind;
import islet.contract.Layout;
import islet.contract.Online;
import islet.contract.Scanned;
import islet.contract.Step;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.snakeyaml.engine.v2.api.Dump;
import org.snakeyaml.engine.v2.api.DumpSettings;
import org.snakeyaml.engine.v2.common.FlowStyle;

/** The contract for machines: an AsyncAPI document and a JSON Schema of each message. */
final class WireContract {

  /**
   * One topic of a site.
   *
   * @param device whose topic
   * @param layout what is said there
   */
  record Channel(Device device, Kind kind, Layout<?> layout) {

    /** A name that no other channel has, such as {@code tieCommand}. */
    String name() {
      String segment = kind.segment();
      return device.segment() + Character.toUpperCase(segment.charAt(0)) + segment.substring(1);
    }

    /** The topic, for any site. */
    String address() {
      return "islet/v1/{site}/" + device.segment() + "/" + kind.segment();
    }
  }

  private static final String MADE =
      "# Made by ./islet document from the layouts that encode and decode the messages.\n";

  private static final int WIDTH = 120;

  private WireContract() {}

  /** All topics of a site that has every device. */
  static List<Channel> channels() {
    List<Channel> channels = new ArrayList<>();
    for (WireTables.Use use : WireTables.uses()) {
      channels.add(new Channel(use.device(), use.kind(), use.layout()));
    }
    for (Device device : Device.values()) {
      if (device != Device.BENCH) {
        channels.add(new Channel(device, Kind.ACK, Ack.LAYOUT));
        channels.add(new Channel(device, Kind.STATE, DeviceState.LAYOUT));
        channels.add(new Channel(device, Kind.ONLINE, Online.LAYOUT));
      }
    }
    channels.add(new Channel(Device.SUPERVISOR, Kind.EVENT, Event.LAYOUT));
    channels.add(new Channel(Device.SUPERVISOR, Kind.ALARM, Alarm.LAYOUT));
    channels.add(new Channel(Device.BENCH, Kind.STEP, Step.LAYOUT));
    channels.add(new Channel(Device.SUPERVISOR, Kind.SCANNED, Scanned.LAYOUT));
    for (WireTables.Use use : WireTables.benchUses()) {
      channels.add(new Channel(use.device(), use.kind(), use.layout()));
    }
    return List.copyOf(channels);
  }

  /** Each message once. */
  static List<Layout<?>> layouts() {
    List<Layout<?>> layouts = new ArrayList<>();
    for (Channel channel : channels()) {
      if (!layouts.contains(channel.layout())) {
        layouts.add(channel.layout());
      }
    }
    return layouts;
  }

  /** Where a message's schema is, seen from the folder of the documents. */
  static String schemaFile(Layout<?> layout) {
    return "schema/" + layout.name() + ".schema.json";
  }

  /**
   * The files.
   *
   * @param folder the folder of the documents
   * @return the text of each file by its path
   */
  static Map<Path, String> files(Path folder) {
    Map<Path, String> files = new LinkedHashMap<>();
    files.put(folder.resolve("asyncapi.yaml"), MADE + yaml(AsyncApi.document(channels())));
    for (Layout<?> layout : layouts()) {
      files.put(folder.resolve(schemaFile(layout)), json(MessageSchema.of(layout)));
    }
    return files;
  }

  private static String yaml(Map<String, Object> tree) {
    DumpSettings settings =
        DumpSettings.builder()
            .setDefaultFlowStyle(FlowStyle.BLOCK)
            .setDereferenceAliases(true)
            .setWidth(WIDTH)
            .setBestLineBreak("\n")
            .build();
    return new Dump(settings).dumpToString(tree);
  }

  private static String json(Map<String, Object> tree) {
    DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
    DefaultPrettyPrinter printer = new DefaultPrettyPrinter();
    printer.indentObjectsWith(indenter);
    try {
      return new ObjectMapper().writer(printer).writeValueAsString(tree) + "\n";
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("maps, lists, texts and numbers can be written", e);
    }
  }
}
