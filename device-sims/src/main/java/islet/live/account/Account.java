package islet.live.account;

import islet.contract.Device;
import islet.contract.Kind;
import java.util.Set;
import java.util.regex.Pattern;

/**
 * One who may connect.
 *
 * @param user the name, letters, digits, dots, hyphens and underscores
 * @param roles what it is for, at least one
 * @param site the id of the only site that it sees; empty for all sites
 * @param password its password's hash
 */
public record Account(String user, Set<Role> roles, String site, PasswordHash password) {

  /** What a user's name is made of. */
  static final Pattern USER = Pattern.compile("[A-Za-z0-9._-]{1,64}");

  private static final String ROOT = "islet/v1/";
  private static final String CLIENT_ROOT = "islet-v1-";
  private static final int SEGMENTS = 5;

  /** Copies the roles. */
  public Account {
    roles = Set.copyOf(roles);
  }

  /** Whether it may publish on a topic. Topics that are none of Islet's are nobody's. */
  boolean mayWrite(String topic) {
    String[] segments = topic.split("/", -1);
    if (segments.length < SEGMENTS || !topic.startsWith(ROOT) || !isItsSite(segments[2])) {
      return false;
    }
    for (Device device : Device.values()) {
      if (!segments[3].equals(device.segment())) {
        continue;
      }
      if (device == Device.BENCH) {
        // The bench divides its topics as it likes.
        return roles.contains(Role.BENCH);
      }
      for (Kind kind : Kind.values()) {
        if (segments.length == SEGMENTS && segments[4].equals(kind.segment())) {
          return roles.stream().anyMatch(role -> role.writes(device, kind));
        }
      }
    }
    return false;
  }

  private boolean isItsSite(String found) {
    return site.isEmpty() ? !found.isEmpty() : found.equals(site);
  }

  /** Whether it may subscribe to a filter. */
  boolean mayRead(String filter) {
    String tree = site.isEmpty() ? "islet/" : ROOT + site + "/";
    return filter.startsWith(tree);
  }

  /**
   * Whether it may connect under a client id. The names of the supervisor and the devices are
   * theirs alone, since whoever takes a client's name throws it out (OASIS MQTT Version 5.0, 3.1.4,
   * from memory).
   */
  boolean mayBeCalled(String clientId) {
    if (!clientId.startsWith(CLIENT_ROOT)) {
      return true;
    }
    boolean supervisor = clientId.contains("-" + Device.SUPERVISOR.segment() + "-state");
    return roles.contains(supervisor ? Role.SUPERVISOR : Role.DEVICES)
        && (site.isEmpty() || clientId.startsWith(CLIENT_ROOT + site + "-"));
  }
}
