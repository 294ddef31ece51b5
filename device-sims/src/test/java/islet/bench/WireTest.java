package islet.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Device;
import islet.contract.Kind;
import islet.contract.Message;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.Topics;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * Judged by the contract's topics: a command counts where it arrives, an answer where it is sent.
 */
class WireTest {

  private final List<String> heard = new ArrayList<>();
  private final Topics topics = new Topics("landing");
  private final Wire wire =
      new Wire(
          "landing",
          Map.of("tie-client", Device.TIE),
          new Witness() {
            @Override
            public void commanded(
                long micros, Device device, String from, long seq, long at, double lifetimeS) {
              heard.add(micros + " " + device + " command " + seq + " " + lifetimeS);
            }

            @Override
            public void answered(long micros, Device device, Ack ack) {
              heard.add(micros + " " + device + " answer " + ack.command());
            }
          });

  private Message command() {
    byte[] payload = TieCommand.LAYOUT.encode(new TieCommand(9, 1000, 3, TieOrder.OPEN, ""));
    return Message.of(topics.of(Device.TIE, Kind.COMMAND), payload, 1, false);
  }

  @Test
  void aCommandCountsWhenItArrivesAtItsDeviceAndNowhereElse() {
    wire.published(1, "supervisor-client", command());
    wire.delivered(2, "page-client", command());
    wire.delivered(3, "tie-client", command());
    assertEquals(List.of("3 TIE command 9 3.0"), heard);
  }

  @Test
  void aCommandIsKnownByItsSenderWhenItArrives() {
    List<String> senders = new ArrayList<>();
    Wire told =
        new Wire(
            "landing",
            Map.of("tie-client", Device.TIE),
            new Witness() {
              @Override
              public void commanded(
                  long micros, Device device, String from, long seq, long at, double lifetimeS) {
                senders.add(from);
              }
            });
    Message ofOne = command();
    Message ofTwo = command();
    told.published(1, "one", ofOne);
    told.published(2, "two", ofTwo);
    told.delivered(3, "tie-client", ofTwo);
    told.delivered(4, "tie-client", ofOne);
    told.delivered(5, "tie-client", command());
    assertEquals(List.of("two", "one", ""), senders);
  }

  @Test
  void anAnswerCountsWhenItIsSent() {
    byte[] payload = Ack.LAYOUT.encode(new Ack(1, 1000, 9, AckResult.DONE, ""));
    Message ack = Message.of(topics.of(Device.TIE, Kind.ACK), payload, 1, false);
    wire.published(4, "tie-client", ack);
    wire.delivered(5, "supervisor-client", ack);
    assertEquals(List.of("4 TIE answer 9"), heard);
  }

  @Test
  void whatIsMalformedIsCountedAndPassedOver() {
    byte[] payload = "{\"seq\":".getBytes(StandardCharsets.UTF_8);
    wire.published(6, "tie-client", Message.of(topics.of(Device.TIE, Kind.ACK), payload, 1, false));
    assertEquals(List.of(), heard);
    assertEquals(1, wire.malformed());
  }
}
