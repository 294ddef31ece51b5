package islet.live;

/**
 * Takes the payload out of the frames that a WebSocket server sends, after its answer to the
 * opening handshake (RFC 6455, 4.2.2 and 5.2, from memory: frames from a server are not masked).
 */
final class FrameEar {

  private static final String END_OF_ANSWER = "\r\n\r\n";
  private static final int FIRST_CONTROL_OPCODE = 8;

  private final DuplicateEar inside;
  private int matched;
  private int place;
  private int lengthBytes;
  private long length;
  private boolean data;

  FrameEar(DuplicateEar inside) {
    this.inside = inside;
  }

  void hear(int octet) {
    if (matched < END_OF_ANSWER.length()) {
      boolean fits = octet == END_OF_ANSWER.charAt(matched);
      matched = fits ? matched + 1 : octet == END_OF_ANSWER.charAt(0) ? 1 : 0;
    } else if (place == 0) {
      data = (octet & 0x0F) < FIRST_CONTROL_OPCODE;
      place = 1;
    } else if (place == 1) {
      int stated = octet & 0x7F;
      lengthBytes = stated == 126 ? 2 : stated == 127 ? 8 : 0;
      length = lengthBytes == 0 ? stated : 0;
      place = 2;
      endOfEmptyFrame();
    } else if (lengthBytes > 0) {
      length = length << 8 | octet;
      lengthBytes--;
      endOfEmptyFrame();
    } else {
      if (data) {
        inside.hear(octet);
      }
      length--;
      endOfEmptyFrame();
    }
  }

  private void endOfEmptyFrame() {
    if (lengthBytes == 0 && length == 0) {
      place = 0;
    }
  }
}
