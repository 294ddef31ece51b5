package islet.bench.plug;

import islet.control.SiteSupervisor;
import islet.control.Supervisor;
import islet.control.SupervisorMaker;
import islet.site.InputException;
import islet.site.InputFile;
import islet.site.Problem;
import islet.site.Site;
import java.io.IOException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import java.util.TreeMap;
import java.util.jar.JarFile;

/** Islet's own supervisor, and those that jars and folders offer, by name. */
public final class Supervisors {

  /** The name of Islet's own. */
  public static final String OWN_NAME = "islet";

  /** Makes Islet's own. */
  public static final SupervisorMaker OWN =
      new SupervisorMaker() {
        @Override
        public String name() {
          return OWN_NAME;
        }

        @Override
        public Supervisor make(Site site) {
          return new SiteSupervisor(site);
        }
      };

  private static final String LEGAL = "[a-z][a-z0-9-]*";
  private static final String SERVICE = "META-INF/services/" + SupervisorMaker.class.getName();

  private final Map<String, SupervisorMaker> byName = new TreeMap<>();

  private Supervisors() {
    byName.put(OWN_NAME, OWN);
  }

  /**
   * Looks through jars and folders of classes.
   *
   * @throws InputException when one can't be read, or offers what can't be used
   */
  public static Supervisors in(List<Path> plugs) {
    Supervisors found = new Supervisors();
    List<URL> places = new ArrayList<>();
    for (Path plug : plugs) {
      places.add(place(plug));
    }
    // Stays open as long as the process: classes are loaded when they are first needed.
    ClassLoader loader =
        new URLClassLoader(places.toArray(new URL[0]), Supervisors.class.getClassLoader());
    try {
      Iterator<SupervisorMaker> makers =
          ServiceLoader.load(SupervisorMaker.class, loader).iterator();
      while (makers.hasNext()) {
        found.take(makers.next());
      }
    } catch (ServiceConfigurationError | LinkageError e) {
      Throwable cause = Objects.requireNonNullElse(e.getCause(), e);
      throw refused(
          shown(plugs),
          "a maker that can't be loaded: " + e.getMessage() + " (" + cause + ")",
          "a public class with a public constructor without arguments, named in " + SERVICE,
          "Compile it against this version of Islet for Java 17, and look at that file's line.");
    }
    return found;
  }

  private static URL place(Path plug) {
    try {
      if (!Files.isDirectory(plug)) {
        // Opened once here, since a class loader passes over in silence what it can't open.
        new JarFile(plug.toFile()).close();
      }
      return plug.toUri().toURL();
    } catch (IOException e) {
      throw refused(
          InputFile.shown(plug),
          Files.exists(plug) ? "a file that can't be read as a jar" : "no such file",
          "a jar, or a folder of classes",
          "Name the jar that jar --create wrote, or the folder that holds META-INF/services.");
    }
  }

  private void take(SupervisorMaker maker) {
    String name = named(maker);
    if (!name.matches(LEGAL) || byName.containsKey(name)) {
      throw refused(
          maker.getClass().getName(),
          "the name \"" + name + "\"",
          "a lower-case letter, then lower-case letters, digits or hyphens, not one of "
              + String.join(", ", byName.keySet()),
          "Let its name() return another name.");
    }
    byName.put(name, maker);
  }

  static String named(SupervisorMaker maker) {
    try {
      return Objects.requireNonNullElse(maker.name(), "");
    } catch (RuntimeException | LinkageError e) {
      throw refused(
          maker.getClass().getName(), "a name() that throws " + e, "a name", "Mend name().");
    }
  }

  /**
   * The maker of a name.
   *
   * @throws InputException when nobody offers it; names those that are there
   */
  public SupervisorMaker named(String name) {
    SupervisorMaker maker = byName.get(name);
    if (maker == null) {
      throw refused(
          name,
          "no such supervisor",
          String.join(", ", byName.keySet()),
          "Name one of these, or the jar that offers it with --plug.");
    }
    return maker;
  }

  /** All names, in order. */
  public List<String> names() {
    return List.copyOf(byName.keySet());
  }

  private static String shown(List<Path> plugs) {
    return plugs.isEmpty()
        ? "the class path"
        : String.join(", ", plugs.stream().map(InputFile::shown).toList());
  }

  private static InputException refused(String field, String found, String allowed, String advice) {
    return new InputException(
        List.of(new Problem("--supervisor", 0, field, found, allowed, advice)));
  }
}
