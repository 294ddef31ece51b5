package islet.bench.margin;

/** Pieces in the order of time; a ring that grows as far as it must and is used again and again. */
final class PieceQueue {

  private long[] begins = new long[16];
  private long[] ends = new long[16];
  private double[] values = new double[16];
  private int front;
  private int size;

  boolean isEmpty() {
    return size == 0;
  }

  int size() {
    return size;
  }

  void add(long begin, long end, double value) {
    if (size == values.length) {
      grow();
    }
    int place = front + size++ & values.length - 1;
    begins[place] = begin;
    ends[place] = end;
    values[place] = value;
  }

  /** As {@link #add}, in one piece with the last when that ends here with the same value. */
  void extend(long begin, long end, double value) {
    int last = front + size - 1 & values.length - 1;
    if (size > 0 && values[last] == value && ends[last] == begin) {
      ends[last] = end;
    } else {
      add(begin, end, value);
    }
  }

  long begin() {
    return begins[front];
  }

  long end() {
    return ends[front];
  }

  double value() {
    return values[front];
  }

  double lastValue() {
    return values[front + size - 1 & values.length - 1];
  }

  /** Leaves of the first piece what lies from an instant on, nothing when it ends there. */
  void cut(long until) {
    if (ends[front] <= until) {
      removeFirst();
    } else {
      begins[front] = until;
    }
  }

  void removeFirst() {
    front = front + 1 & values.length - 1;
    size--;
  }

  void removeLast() {
    size--;
  }

  private void grow() {
    int capacity = values.length;
    long[] moreBegins = new long[capacity * 2];
    long[] moreEnds = new long[capacity * 2];
    double[] moreValues = new double[capacity * 2];
    for (int i = 0; i < size; i++) {
      int from = front + i & capacity - 1;
      moreBegins[i] = begins[from];
      moreEnds[i] = ends[from];
      moreValues[i] = values[from];
    }
    begins = moreBegins;
    ends = moreEnds;
    values = moreValues;
    front = 0;
  }
}
