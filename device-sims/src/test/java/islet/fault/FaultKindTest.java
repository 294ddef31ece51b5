package islet.fault;

import static org.junit.jupiter.api.Assertions.assertEquals;

import islet.bench.SiteSimulation;
import islet.bench.VirtualBroker;
import islet.bench.VirtualTime;
import islet.device.SimulatedDevice;
import islet.plant.ConstantWeather;
import islet.site.Site;
import islet.site.SiteReader;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/**
 * The catalogue judged by the devices that are really built: a fault that bites nothing is a lie.
 */
class FaultKindTest {

  @Test
  void sensorFaultsNameExactlyTheSensorsThatTheDevicesHave() {
    Map<String, TreeSet<String>> built = new TreeMap<>();
    for (String name : List.of("ferry-landing", "ferry-landing-changeover")) {
      for (SimulatedDevice device : devices(name)) {
        TreeSet<String> names = new TreeSet<>();
        device.sensors().names().forEach(names::add);
        built.put(device.device().segment(), names);
      }
    }
    Map<String, TreeSet<String>> listed = new TreeMap<>();
    for (FaultKind.Target target : FaultKind.SENSOR_BIAS.targets()) {
      listed.put(target.device(), new TreeSet<>(target.signals()));
    }
    assertEquals(built, listed);
  }

  private static List<SimulatedDevice> devices(String name) {
    Site site =
        SiteReader.read(
            Path.of(System.getProperty("islet.root"), "config", "sites", name + ".yaml"));
    VirtualTime time = new VirtualTime(0);
    SiteSimulation simulation =
        new SiteSimulation(
            site,
            new ConstantWeather(0, 0, 0, 15, 1),
            0.5,
            1,
            true,
            time,
            new VirtualBroker(time),
            (micros, source, kind, from, to, reason) -> {});
    return simulation.devices().all();
  }
}
