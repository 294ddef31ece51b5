package islet.bench.campaign;

import islet.bench.Hazards;
import islet.bench.campaign.CaseRow.Verdict;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * A campaign's results: one SQLite file, one row a case, written as the case ends. Each row is a
 * transaction of its own, so a process that is killed loses only the cases that it was running. Any
 * thread may write.
 */
public final class ResultStore implements AutoCloseable {

  /** Written into every file, so that a later Islet knows what it reads. */
  private static final String FORMAT = "1";

  private static final String FORMAT_KEY = "format";
  private static final String COLUMNS =
      "id, course, mode, mishap, at_us, events, supervisor, verdict, hazard, share, first_s,"
          + " detail";
  private static final int OWN_COLUMNS = 12;

  private final Connection connection;
  private final PreparedStatement insert;

  private ResultStore(Connection connection) throws SQLException {
    this.connection = connection;
    try (Statement statement = connection.createStatement()) {
      // What is committed is in the system's hands: it outlives the process, though not the
      // machine.
      statement.execute("PRAGMA journal_mode = WAL");
      statement.execute("PRAGMA synchronous = NORMAL");
      statement.execute("CREATE TABLE IF NOT EXISTS campaign (name TEXT PRIMARY KEY, value TEXT)");
      statement.execute(
          "CREATE TABLE IF NOT EXISTS cases (id INTEGER PRIMARY KEY, course TEXT NOT NULL,"
              + " mode TEXT NOT NULL, mishap TEXT NOT NULL, at_us INTEGER NOT NULL,"
              + " events TEXT NOT NULL, supervisor TEXT NOT NULL, verdict TEXT NOT NULL,"
              + " hazard TEXT NOT NULL, share REAL NOT NULL, first_s REAL NOT NULL,"
              + " detail TEXT NOT NULL"
              + margins(" REAL")
              + ")");
    }
    insert =
        connection.prepareStatement(
            "INSERT INTO cases ("
                + COLUMNS
                + margins("")
                + ") VALUES (?"
                + ", ?".repeat(OWN_COLUMNS - 1 + 2 * Hazards.IDS.size())
                + ")");
  }

  private static String margins(String type) {
    StringBuilder columns = new StringBuilder();
    for (String kind : List.of("margin", "share")) {
      Hazards.IDS.forEach(
          id ->
              columns
                  .append(", ")
                  .append(kind)
                  .append('_')
                  .append(id.replace('-', '_'))
                  .append(type));
    }
    return columns.toString();
  }

  /**
   * Opens the file, or begins it.
   *
   * @param about what the results belong to, by name; a file that was begun for something else is
   *     refused
   * @throws CampaignException when it holds other results or is no such file
   */
  public static ResultStore open(Path file, Map<String, String> about) throws CampaignException {
    try {
      Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
      try {
        ResultStore store = new ResultStore(connection);
        store.check(file, about);
        return store;
      } catch (SQLException | CampaignException e) {
        connection.close();
        throw e;
      }
    } catch (SQLException e) {
      throw new CampaignException(
          file
              + ": found a file that can't be used as a campaign's results ("
              + e.getMessage()
              + "); allowed is one that a campaign began, on a disk with room. Choose another folder"
              + " with --out.");
    }
  }

  private void check(Path file, Map<String, String> about) throws SQLException, CampaignException {
    Map<String, String> wanted = new LinkedHashMap<>(about);
    wanted.put(FORMAT_KEY, FORMAT);
    Map<String, String> found = about();
    for (Map.Entry<String, String> entry : wanted.entrySet()) {
      String there = found.getOrDefault(entry.getKey(), entry.getValue());
      if (!there.equals(entry.getValue())) {
        throw new CampaignException(
            file
                + ": found results whose "
                + entry.getKey()
                + " is "
                + there
                + "; allowed is "
                + entry.getValue()
                + ", as this campaign has it. Begin anew in another folder with --out.");
      }
    }
    if (found.isEmpty()) {
      try (PreparedStatement put =
          connection.prepareStatement("INSERT INTO campaign (name, value) VALUES (?, ?)")) {
        for (Map.Entry<String, String> entry : wanted.entrySet()) {
          put.setString(1, entry.getKey());
          put.setString(2, entry.getValue());
          put.execute();
        }
      }
    }
  }

  private Map<String, String> about() throws SQLException {
    Map<String, String> about = new LinkedHashMap<>();
    try (Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery("SELECT name, value FROM campaign")) {
      while (rows.next()) {
        about.put(rows.getString(1), rows.getString(2));
      }
    }
    return about;
  }

  /** Which cases are there already. */
  public synchronized BitSet done() {
    BitSet done = new BitSet();
    try (Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery("SELECT id FROM cases")) {
      while (rows.next()) {
        done.set((int) rows.getLong(1));
      }
    } catch (SQLException e) {
      throw unusable(e);
    }
    return done;
  }

  /** Adds a case's row. */
  public synchronized void add(CaseRow row) {
    try {
      insert.setLong(1, row.id());
      insert.setString(2, row.course());
      insert.setString(3, row.mode());
      insert.setString(4, row.mishap());
      insert.setLong(5, row.atMicros());
      insert.setString(6, row.events());
      insert.setString(7, row.supervisor());
      insert.setString(8, row.verdict().name());
      insert.setString(9, row.hazard());
      insert.setDouble(10, row.share());
      insert.setDouble(11, row.firstAtSeconds());
      insert.setString(12, row.detail());
      for (int i = 0; i < row.margins().size(); i++) {
        insert.setDouble(OWN_COLUMNS + 1 + i, row.margins().get(i));
        insert.setDouble(OWN_COLUMNS + 1 + Hazards.IDS.size() + i, row.shares().get(i));
      }
      insert.execute();
    } catch (SQLException e) {
      throw unusable(e);
    }
  }

  /** The row of a case. */
  public synchronized Optional<CaseRow> of(long id) {
    List<CaseRow> rows = new ArrayList<>(1);
    each("WHERE id = " + id, rows::add);
    return rows.stream().findFirst();
  }

  /** Hands over every row, by number. */
  public void each(Consumer<CaseRow> taker) {
    each("", taker);
  }

  private synchronized void each(String which, Consumer<CaseRow> taker) {
    String query = "SELECT " + COLUMNS + margins("") + " FROM cases " + which + " ORDER BY id";
    try (Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery(query)) {
      while (rows.next()) {
        taker.accept(row(rows));
      }
    } catch (SQLException e) {
      throw unusable(e);
    }
  }

  private static CaseRow row(ResultSet rows) throws SQLException {
    return new CaseRow(
        rows.getLong(1),
        rows.getString(2),
        rows.getString(3),
        rows.getString(4),
        rows.getLong(5),
        rows.getString(6),
        rows.getString(7),
        Verdict.valueOf(rows.getString(8)),
        rows.getString(9),
        rows.getDouble(10),
        rows.getDouble(11),
        rows.getString(12),
        figures(rows, OWN_COLUMNS),
        figures(rows, OWN_COLUMNS + Hazards.IDS.size()));
  }

  private static List<Double> figures(ResultSet rows, int before) throws SQLException {
    List<Double> figures = new ArrayList<>();
    for (int i = 1; i <= Hazards.IDS.size(); i++) {
      double figure = rows.getDouble(before + i);
      figures.add(rows.wasNull() ? Double.NaN : figure);
    }
    return figures;
  }

  private static IllegalStateException unusable(SQLException e) {
    return new IllegalStateException(
        "The results could not be written or read: "
            + e.getMessage()
            + ". Look at the disk's room; what was written is kept, go on with --resume.",
        e);
  }

  @Override
  public synchronized void close() {
    try {
      insert.close();
      try (Statement statement = connection.createStatement()) {
        // One file and nothing beside it.
        statement.execute("PRAGMA journal_mode = DELETE");
      }
      connection.close();
    } catch (SQLException e) {
      throw unusable(e);
    }
  }
}
