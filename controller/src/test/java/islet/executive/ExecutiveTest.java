package islet.executive;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import islet.contract.Ack;
import islet.contract.AckResult;
import islet.contract.Alarm;
import islet.contract.AlarmId;
import islet.contract.AlarmState;
import islet.contract.ChargeStage;
import islet.contract.Device;
import islet.contract.InverterCommand;
import islet.contract.InverterOrder;
import islet.contract.InverterState;
import islet.contract.InverterTelemetry;
import islet.contract.InverterTrip;
import islet.contract.Kind;
import islet.contract.MalformedException;
import islet.contract.Message;
import islet.contract.MeterTelemetry;
import islet.contract.OperatorOrder;
import islet.contract.Port;
import islet.contract.RegulatorTelemetry;
import islet.contract.SupervisorCommand;
import islet.contract.TieCommand;
import islet.contract.TieOrder;
import islet.contract.TieTelemetry;
import islet.contract.TieTrip;
import islet.contract.Topics;
import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Judged by the contract and the demo site's file: a command's lifetime of 3 s, a heartbeat of 2 s,
 * a link time-out of 10 s, a scan of 100 ms, and MQTT's expiry, response topic and correlation data
 * on every command.
 */
class ExecutiveTest {

  private static final Site SITE =
      SiteReader.read(Path.of(System.getProperty("islet.root"), "config/sites/ferry-landing.yaml"));
  private static final Topics TOPICS = new Topics("ferry-landing");
  private static final long SCAN = 100_000;

  private final List<Message> sent = new ArrayList<>();
  private final List<Boolean> trouble = new ArrayList<>();
  private final List<Boolean> bad = new ArrayList<>();
  private final List<OperatorOrder> asked = new ArrayList<>();
  private long now = 1_768_424_400_000_000L;
  private boolean answers = true;
  private TieOrder tie = TieOrder.OPEN;
  private boolean tieOrdered;
  private InverterOrder inverter = InverterOrder.FOLLOW;
  private boolean inverterOrdered;

  /** Orders what the test says, and notes what it is told. */
  private final Supervisor scripted =
      (in, instant, out) -> {
        trouble.add(in.commandTrouble());
        bad.add(in.badMessage());
        if (in.operatorAsks()) {
          asked.add(in.operator().order());
        }
        out.tie = tie;
        out.tieOrdered = tieOrdered;
        out.inverter = inverter;
        out.inverterOrdered = inverterOrdered;
      };

  private final Port port =
      new Port() {
        @Override
        public void publish(Message message) {
          sent.add(message);
        }

        @Override
        public void subscribe(String filter, int qos) {}

        @Override
        public boolean connected() {
          return true;
        }

        @Override
        public void close() {}
      };

  private Executive executive(Supervisor supervisor) {
    return new Executive(SITE, supervisor, (id, will, listener) -> port, () -> now, "supervisor");
  }

  private void scans(Executive executive, int number) {
    for (int i = 0; i < number; i++) {
      now += SCAN;
      int before = sent.size();
      executive.scan();
      for (Message message : List.copyOf(sent.subList(before, sent.size()))) {
        if (answers && message.topic().endsWith("/command")) {
          answer(executive, message, AckResult.ACCEPTED);
        }
      }
    }
  }

  private void answer(Executive executive, Message command, AckResult result) {
    long seq = Long.parseLong(new String(command.correlation(), StandardCharsets.US_ASCII));
    Ack ack = new Ack(0, now, seq, result, "");
    executive.message(Message.of(command.responseTopic(), Ack.LAYOUT.encode(ack), 1, false));
  }

  private List<Message> on(Device device, Kind kind) {
    return sent.stream().filter(m -> m.topic().equals(TOPICS.of(device, kind))).toList();
  }

  private static <T> T last(List<T> list) {
    return list.get(list.size() - 1);
  }

  private List<AlarmId> alarms() throws MalformedException {
    List<AlarmId> ids = new ArrayList<>();
    for (Message message : on(Device.SUPERVISOR, Kind.ALARM)) {
      ids.add(Alarm.LAYOUT.decode(message.payload()).id());
    }
    return ids;
  }

  @Test
  void everyCommandCarriesLifetimeExpiryAnswerAddressAndCorrelation() throws MalformedException {
    inverterOrdered = true;
    scans(executive(scripted), 1);
    Message message = last(on(Device.INVERTER, Kind.COMMAND));
    InverterCommand command = InverterCommand.LAYOUT.decode(message.payload());
    assertEquals(now, command.at());
    assertEquals(3, command.lifetimeS());
    assertEquals(3, message.expirySeconds());
    assertEquals(1, message.qos());
    assertFalse(message.retain(), "a retained command would be obeyed by whoever comes later");
    assertEquals(TOPICS.of(Device.INVERTER, Kind.ACK), message.responseTopic());
    assertArrayEquals(
        Long.toString(command.seq()).getBytes(StandardCharsets.US_ASCII), message.correlation());
    assertEquals(4000, command.exportLimitW());
  }

  @Test
  void anOrderThatStandsIsSentTwiceInALinkTimeoutAndAChangeAtOnce() throws MalformedException {
    inverterOrdered = true;
    tieOrdered = true;
    Executive executive = executive(scripted);
    scans(executive, 100);
    assertEquals(2, on(Device.INVERTER, Kind.COMMAND).size());
    assertEquals(2, on(Device.TIE, Kind.COMMAND).size());
    inverter = InverterOrder.FORM;
    scans(executive, 1);
    assertEquals(3, on(Device.INVERTER, Kind.COMMAND).size());
    assertEquals(
        InverterOrder.FORM,
        InverterCommand.LAYOUT.decode(last(on(Device.INVERTER, Kind.COMMAND)).payload()).order());
  }

  @Test
  void theHeartbeatIsTelemetryEveryTwoSeconds() {
    Executive executive = executive(scripted);
    scans(executive, 10);
    assertEquals(0, on(Device.SUPERVISOR, Kind.TELEMETRY).size(), "told before the tie has spoken");
    tellOfAHealthySite(executive);
    scans(executive, 100);
    assertEquals(5, on(Device.SUPERVISOR, Kind.TELEMETRY).size());
  }

  @Test
  void aCloseIsTriedTwiceASecondAndNeverOnceItIsNoLongerWanted() throws MalformedException {
    tie = TieOrder.CLOSE;
    tieOrdered = true;
    Executive executive = executive(scripted);
    scans(executive, 20);
    List<Message> tries = on(Device.TIE, Kind.COMMAND);
    assertEquals(4, tries.size());
    long before = -1;
    for (Message message : tries) {
      long seq = TieCommand.LAYOUT.decode(message.payload()).seq();
      assertTrue(seq > before, "two commands of one number");
      before = seq;
    }
    tieOrdered = false;
    scans(executive, 100);
    assertEquals(4, on(Device.TIE, Kind.COMMAND).size());
  }

  @ParameterizedTest
  @EnumSource(names = {"REFUSED", "EXPIRED"})
  void aCommandThatIsNotObeyedIsTroubleUntilOneIs(AckResult result) {
    inverterOrdered = true;
    answers = false;
    Executive executive = executive(scripted);
    scans(executive, 1);
    answer(executive, last(on(Device.INVERTER, Kind.COMMAND)), result);
    scans(executive, 1);
    assertTrue(last(trouble));
    answers = true;
    scans(executive, 60);
    assertFalse(last(trouble));
  }

  @Test
  void aCommandWithoutAnAnswerIsTroubleAfterASecond() {
    inverterOrdered = true;
    answers = false;
    Executive executive = executive(scripted);
    scans(executive, 11);
    assertFalse(last(trouble));
    scans(executive, 1);
    assertTrue(last(trouble));
  }

  @Test
  void anAnswerToAnOlderCommandDoesNotCount() {
    inverterOrdered = true;
    answers = false;
    Executive executive = executive(scripted);
    scans(executive, 1);
    Message old = last(on(Device.INVERTER, Kind.COMMAND));
    inverter = InverterOrder.OFF;
    scans(executive, 1);
    answer(executive, old, AckResult.ACCEPTED);
    scans(executive, 11);
    assertTrue(last(trouble));
  }

  @ParameterizedTest
  @EnumSource(names = {"REFUSED", "EXPIRED"})
  void commandsThatAreNotObeyedRaiseTheirAlarmAtOurOwnSupervisor(AckResult result)
      throws MalformedException {
    Executive executive = executive(new SiteSupervisor(SITE));
    answers = false;
    for (int i = 0; i < 200; i++) {
      tellOfAHealthySite(executive);
      scans(executive, 1);
      List<Message> commands = on(Device.INVERTER, Kind.COMMAND);
      if (!commands.isEmpty()) {
        answer(executive, last(commands), result);
      }
      for (Message other : sent) {
        if (other.topic().endsWith("/command") && !commands.contains(other)) {
          answer(executive, other, AckResult.ACCEPTED);
        }
      }
    }
    assertEquals(List.of(AlarmId.COMMAND_REFUSED), alarms());
  }

  /** The least that makes the supervisor leave STARTING: the tie closed on a good utility. */
  private void tellOfAHealthySite(Executive executive) {
    tell(
        executive,
        Device.TIE,
        TieTelemetry.LAYOUT.encode(
            new TieTelemetry(0, now, true, true, 1, 60, 1, 60, 0, TieTrip.NONE, false, false)));
    tell(
        executive,
        Device.REGULATOR,
        RegulatorTelemetry.LAYOUT.encode(
            new RegulatorTelemetry(0, now, 50, 20, 0, 0, 0, 50, 0, ChargeStage.OFF, false, false)));
    tell(
        executive,
        Device.INVERTER,
        InverterTelemetry.LAYOUT.encode(
            new InverterTelemetry(
                0,
                now,
                50,
                0,
                0,
                1,
                60,
                InverterState.FOLLOWING,
                InverterTrip.NONE,
                false,
                false)));
    tell(
        executive,
        Device.METER,
        MeterTelemetry.LAYOUT.encode(
            new MeterTelemetry(0, now, 1, 60, 0, 0, 0, 1, 50, 0, 20, "", false)));
  }

  private static void tell(Executive executive, Device device, byte[] payload) {
    executive.message(Message.of(TOPICS.of(device, Kind.TELEMETRY), payload, 0, false));
  }

  @Test
  void aBadMessageIsCountedAndRingsForAMinute() {
    Executive executive = executive(scripted);
    scans(executive, 1);
    assertFalse(last(bad));
    for (String payload : new String[] {"{", "[]", "{\"seq\":1e999}", "\u0000", "{\"seq\":1}"}) {
      tell(executive, Device.TIE, payload.getBytes(StandardCharsets.UTF_8));
    }
    assertEquals(5, executive.badMessages());
    scans(executive, 599);
    assertTrue(last(bad));
    scans(executive, 2);
    assertFalse(last(bad));
  }

  @Test
  void aBadMessageRaisesItsAlarmAtOurOwnSupervisor() throws MalformedException {
    Executive ours = executive(new SiteSupervisor(SITE));
    tell(ours, Device.METER, new byte[] {-1});
    scans(ours, 1);
    assertEquals(List.of(AlarmId.BAD_MESSAGE), alarms());
  }

  @Test
  void whatBelongsToNobodyIsPassedOver() {
    Executive executive = executive(scripted);
    byte[] noise = {1, 2, 3};
    executive.message(Message.of("islet/v1/elsewhere/tie/telemetry", noise, 0, false));
    executive.message(Message.of(TOPICS.of(Device.TIE, Kind.ONLINE), new byte[0], 1, true));
    assertEquals(0, executive.badMessages());
  }

  private Message order(long seq, OperatorOrder order, String key) {
    return new Message(
        TOPICS.of(Device.SUPERVISOR, Kind.COMMAND),
        SupervisorCommand.LAYOUT.encode(new SupervisorCommand(seq, now, 10, order, key, 0)),
        1,
        false,
        10,
        TOPICS.of(Device.SUPERVISOR, Kind.ACK),
        Long.toString(seq).getBytes(StandardCharsets.US_ASCII));
  }

  private Ack lastAck() throws MalformedException {
    return Ack.LAYOUT.decode(last(on(Device.SUPERVISOR, Kind.ACK)).payload());
  }

  /** Judged by the limits that docs/security.md states: 16 wait, 16 are turned down in a scan. */
  @Test
  void ofAThousandOrdersAtOnceAFewAreTurnedDownAndTheRestIsOnlyCounted() throws MalformedException {
    Executive executive = executive(scripted);
    for (int i = 0; i < 1_000; i++) {
      executive.message(order(i, OperatorOrder.ACKNOWLEDGE, ""));
    }
    assertEquals(16, on(Device.SUPERVISOR, Kind.ACK).size());
    assertEquals(AckResult.REFUSED, lastAck().result());
    assertEquals(1_000 - 16 - 16, executive.unheardOrders());
    scans(executive, 1);
    executive.message(order(1_001, OperatorOrder.ACKNOWLEDGE, ""));
    executive.message(order(1_002, OperatorOrder.ACKNOWLEDGE, ""));
    assertEquals(1_002, lastAck().command());
    assertEquals(AckResult.REFUSED, lastAck().result());
    scans(executive, 20);
    assertEquals(17, asked.size());
  }

  @Test
  void whatAnyFilterBringsOfItsOwnIsNotStrangeAndWhatNobodySpeaksOnIs() {
    Executive executive = executive(scripted);
    for (Device device : List.of(Device.TIE, Device.METER, Device.SUPERVISOR)) {
      for (Kind kind : List.of(Kind.TELEMETRY, Kind.ONLINE, Kind.ACK)) {
        assertTrue(executive.wants(TOPICS.of(device, kind)));
      }
    }
    assertFalse(executive.wants("islet/v1/ferry-landing/pump/telemetry"));
    assertFalse(executive.wants("islet/v1/ferry-landing/bench/telemetry"));
  }

  @Test
  void anOperatorsOrderIsAnsweredWithItsCorrelationAndCarriedOutOnce() throws MalformedException {
    Executive executive = executive(scripted);
    executive.message(order(42, OperatorOrder.ISLAND, ""));
    scans(executive, 1);
    assertEquals(AckResult.ACCEPTED, lastAck().result());
    assertEquals(42, lastAck().command());
    assertArrayEquals(new byte[] {'4', '2'}, last(on(Device.SUPERVISOR, Kind.ACK)).correlation());
    scans(executive, 5);
    assertEquals(List.of(OperatorOrder.ISLAND), asked);
  }

  @Test
  void anOrderOlderThanItsLifetimeIsDropped() throws MalformedException {
    Executive executive = executive(scripted);
    Message late = order(1, OperatorOrder.ISLAND, "");
    now += 10_000_001;
    executive.message(late);
    assertEquals(AckResult.EXPIRED, lastAck().result());
    scans(executive, 5);
    assertEquals(List.of(), asked);
  }

  /** In a pause, or behind others. */
  @Test
  void anOrderThatWaitsForItsScanLongerThanItLivesIsDropped() throws MalformedException {
    Executive executive = executive(scripted);
    executive.message(order(1, OperatorOrder.ISLAND, ""));
    now += 9_000_000;
    executive.message(order(2, OperatorOrder.RECONNECT, ""));
    now += 1_000_001;
    scans(executive, 1);
    assertEquals(List.of(OperatorOrder.RECONNECT), asked);
    assertEquals(
        List.of(AckResult.EXPIRED, AckResult.ACCEPTED),
        on(Device.SUPERVISOR, Kind.ACK).stream().map(ExecutiveTest::result).toList());
  }

  private static AckResult result(Message ack) {
    try {
      return Ack.LAYOUT.decode(ack.payload()).result();
    } catch (MalformedException e) {
      throw new AssertionError(e);
    }
  }

  /** A second is what an answer may take; EXPIRED says that the order came too late. */
  @Test
  void anOrderThatIsNeitherTakenNorRefusedInTimeIsUnheeded() throws MalformedException {
    List<Boolean> tieUnheeded = new ArrayList<>();
    List<Boolean> inverterUnheeded = new ArrayList<>();
    Executive executive =
        executive(
            (in, instant, out) -> {
              tieUnheeded.add(in.tieUnheeded());
              inverterUnheeded.add(in.inverterUnheeded());
              scripted.scan(in, instant, out);
            });
    tie = TieOrder.CLOSE;
    tieOrdered = true;
    answers = false;
    scans(executive, 11);
    assertFalse(last(tieUnheeded), "in time");
    scans(executive, 1);
    assertTrue(last(tieUnheeded), "though each try of a close is a new order");
    assertFalse(last(inverterUnheeded), "nobody asked the inverter");
    answer(executive, last(on(Device.TIE, Kind.COMMAND)), AckResult.EXPIRED);
    scans(executive, 1);
    assertTrue(last(tieUnheeded), "too late");
    answer(executive, last(on(Device.TIE, Kind.COMMAND)), AckResult.REFUSED);
    scans(executive, 1);
    assertFalse(last(tieUnheeded), "it has come, whatever was answered");
    inverterOrdered = true;
    scans(executive, 12);
    assertTrue(last(inverterUnheeded));
    answer(executive, last(on(Device.INVERTER, Kind.COMMAND)), AckResult.ACCEPTED);
    scans(executive, 1);
    assertFalse(last(inverterUnheeded));
  }

  /** By the contract's rule: an order dated 2 s ahead is the last that is taken. */
  @Test
  void anOrderDatedFurtherAheadThanClocksMayDifferIsRefused() throws MalformedException {
    Executive executive = executive(scripted);
    now += 2_001_000;
    Message ahead = order(1, OperatorOrder.ISLAND, "");
    Message near = order(2, OperatorOrder.RECONNECT, "");
    now -= 2_001_000;
    executive.message(ahead);
    assertEquals(AckResult.REFUSED, lastAck().result());
    now += 1_000;
    executive.message(near);
    scans(executive, 5);
    assertEquals(List.of(OperatorOrder.RECONNECT), asked);
  }

  @Test
  void aFloodOfOrdersIsRefusedBeyondSixteenAndTheRestComesOneAScan() throws MalformedException {
    Executive executive = executive(scripted);
    for (int i = 0; i < 16; i++) {
      executive.message(order(i, OperatorOrder.ACKNOWLEDGE, ""));
    }
    executive.message(order(16, OperatorOrder.RESET, ""));
    assertEquals(AckResult.REFUSED, lastAck().result());
    assertEquals(16, lastAck().command());
    assertFalse(lastAck().reason().isEmpty());
    scans(executive, 1);
    assertEquals(1, asked.size());
    assertEquals(AckResult.ACCEPTED, lastAck().result());
    assertEquals(0, lastAck().command());
    executive.message(order(17, OperatorOrder.ISLAND, ""));
    scans(executive, 30);
    assertEquals(17, lastAck().command());
    assertEquals(AckResult.ACCEPTED, lastAck().result());
    assertEquals(17, asked.size());
    assertEquals(OperatorOrder.ISLAND, last(asked));
  }

  @Test
  void aKeyThatCannotBeSentOnIsABadMessageAndStopsNothing() {
    Executive executive = executive(new SiteSupervisor(SITE));
    byte[] good = order(1, OperatorOrder.HOLD, "KEY").payload();
    String half = new String(good, StandardCharsets.UTF_8).replace("KEY", "\\ud800");
    executive.message(
        Message.of(
            TOPICS.of(Device.SUPERVISOR, Kind.COMMAND),
            half.getBytes(StandardCharsets.UTF_8),
            1,
            false));
    scans(executive, 3);
    assertEquals(1, executive.badMessages());
  }

  /** The tie has to open at once, padlock or not: the one is no repetition of the other. */
  @Test
  void aHoldDoesNotKeepTheFirstOrderToOpenBack() throws MalformedException {
    Executive executive =
        executive(
            (in, instant, out) -> {
              out.begin();
              out.holdKey = "line crew";
              out.holdPlaced = true;
              out.tie = TieOrder.OPEN;
              out.tieOrdered = true;
            });
    scans(executive, 1);
    List<TieOrder> told = new ArrayList<>();
    for (Message message : on(Device.TIE, Kind.COMMAND)) {
      told.add(TieCommand.LAYOUT.decode(message.payload()).order());
    }
    assertEquals(List.of(TieOrder.HOLD, TieOrder.OPEN), told);
  }

  @Test
  void aHoldGoesToTheTieUnderItsKey() throws MalformedException {
    Executive executive = executive(new SiteSupervisor(SITE));
    executive.message(order(1, OperatorOrder.HOLD, "line crew"));
    scans(executive, 1);
    TieCommand command = TieCommand.LAYOUT.decode(last(on(Device.TIE, Kind.COMMAND)).payload());
    assertEquals(TieOrder.HOLD, command.order());
    assertEquals("line crew", command.key());
  }

  @Test
  void whatRangOrReturnedBehindALostLinkIsToldWhenTheLinkIsBack() throws MalformedException {
    List<AlarmState> states = new ArrayList<>();
    Supervisor rings =
        (in, instant, out) -> {
          out.begin();
          if (!states.isEmpty()) {
            out.alarm(AlarmId.TIE_NOT_OPEN, states.remove(0));
          }
        };
    Executive executive = executive(rings);
    executive.link(true);
    scans(executive, 1);
    assertEquals(List.of(), alarms());
    states.add(AlarmState.UNACKNOWLEDGED);
    scans(executive, 3);
    assertEquals(List.of(AlarmId.TIE_NOT_OPEN), alarms());
    executive.link(false);
    states.add(AlarmState.RETURNED);
    scans(executive, 2);
    sent.clear();
    executive.link(true);
    scans(executive, 3);
    List<Message> told = on(Device.SUPERVISOR, Kind.ALARM);
    assertEquals(1, told.size());
    assertEquals(AlarmState.RETURNED, Alarm.LAYOUT.decode(told.get(0).payload()).state());
  }
}
