package islet.live.page;

/**
 * How the page gets to the broker.
 *
 * @param url the broker's WebSocket
 * @param signIn by what it is let in: {@code token}, {@code account} or {@code none}
 * @param user with a token: the name that goes with it
 * @param password with a token: a secret of this process, which no other page can read
 */
public record SignIn(String url, String signIn, String user, String password) {

  /** By a secret that this server tells its own page only. */
  public static SignIn byToken(String url, String user, String secret) {
    return new SignIn(url, "token", user, secret);
  }

  /** By a person's name and password, which the page asks for. */
  public static SignIn byAccount(String url) {
    return new SignIn(url, "account", "", "");
  }

  /** By nothing: whoever reaches the broker may speak. */
  public static SignIn byNothing(String url) {
    return new SignIn(url, "none", "", "");
  }
}
