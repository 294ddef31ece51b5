package islet.judge;

import java.io.IOException;

/** The long comparison of DC buses with ngspice: first seed, how many operating points. */
final class BusJudgeLong {
  private static final int PART = 250;

  private BusJudgeLong() {}

  public static void main(String[] args) throws IOException, MissingProgramException {
    long first = Long.parseLong(args[0]);
    int count = Integer.parseInt(args[1]);
    Progress progress = new Progress(count);
    BusJudge.Verdict sum = BusJudge.compare(first, 0);
    for (int done = 0; done < count; done += PART) {
      sum = sum.and(BusJudge.compare(first + done, Math.min(PART, count - done)));
      progress.show(Math.min(count, done + PART));
    }
    System.out.println();
    System.out.println(
        sum.points() + " compared, " + sum.leftOut() + " left out, " + sum.undecided() + " open");
    System.out.println("worst voltage " + sum.voltage());
    System.out.println("worst current " + sum.current());
  }
}
