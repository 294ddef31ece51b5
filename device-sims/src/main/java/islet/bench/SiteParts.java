package islet.bench;

import islet.plant.BatterySpec;
import islet.plant.DataFileException;
import islet.plant.DataFiles;
import islet.plant.Efficiency;
import islet.plant.LeadAcidSpec;
import islet.plant.LfpSpec;
import islet.plant.LoadProfile;
import islet.plant.ModuleSpec;
import islet.plant.Place;
import islet.plant.PvSpec;
import islet.plant.ShadeDay;
import islet.plant.ShadeSpec;
import islet.plant.SkyModel;
import islet.site.InputException;
import islet.site.Problem;
import islet.site.Site;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;

/** Single parts of a site in the plant's terms, for runs and for checks alike. */
public final class SiteParts {

  /**
   * A flooded bank gives 1.04 times its ten-hour capacity in twenty hours (two-well model, c = 0.4,
   * k' = 2/h).
   */
  private static final double TWENTY_HOURS = 1.04;

  private SiteParts() {}

  /** Where the site stands. */
  public static Place place(Site site) {
    return new Place(
        site.place().latitudeDeg(),
        site.place().longitudeDeg(),
        site.place().altitudeM(),
        site.place().albedo());
  }

  /**
   * Local standard time against universal time, h: measured data doesn't know daylight saving.
   *
   * @param micros about when, µs since 1970
   */
  public static double standardOffsetH(Site site, long micros) {
    return site.place()
            .zone()
            .getRules()
            .getStandardOffset(Instant.ofEpochSecond(micros / 1_000_000))
            .getTotalSeconds()
        / 3600.0;
  }

  /**
   * The array.
   *
   * @param micros about when, µs since 1970: shade goes by standard time
   */
  public static PvSpec pv(Site site, long micros) {
    Site.Pv pv = site.pv();
    Site.Module m = pv.module();
    return new PvSpec(
        new ModuleSpec(
            m.iscA(), m.vocV(), m.impA(), m.vmpV(), m.cells(), m.kiAPerK(), m.kvVPerK(), m.noctC()),
        pv.series(),
        pv.parallel(),
        pv.tiltDeg(),
        pv.azimuthDeg(),
        switch (pv.sky()) {
          case ISOTROPIC -> SkyModel.ISOTROPIC;
          case HAY_DAVIES -> SkyModel.HAY_DAVIES;
        },
        m.bypassDiodes(),
        shade(site, micros));
  }

  private static ShadeDay shade(Site site, long micros) {
    List<ShadeSpec> entries = new ArrayList<>();
    for (Site.Shade shade : site.pv().shade()) {
      for (Site.MinuteSpan span : shade.between()) {
        entries.add(
            new ShadeSpec(
                shade.strings(),
                shade.modules(),
                shade.substrings(),
                shade.light(),
                span.from(),
                span.to()));
      }
    }
    return new ShadeDay(standardOffsetH(site, micros), entries);
  }

  /** The bank. */
  public static BatterySpec battery(Site.Battery battery) {
    return switch (battery.chemistry()) {
      case LEAD_ACID ->
          LeadAcidSpec.flooded(battery.cells(), battery.capacity20hAh() / TWENTY_HOURS)
              .inRoom(battery.roomMinimumC());
      case LFP ->
          LfpSpec.prismatic(battery.cells(), battery.capacity20hAh())
              .inRoom(battery.roomMinimumC());
    };
  }

  /** Three points of a converter's efficiency. */
  public static Efficiency efficiency(Site.Efficiency e) {
    return new Efficiency(e.at10(), e.at50(), e.at100());
  }

  /**
   * A load out of an hourly file.
   *
   * @param standardOffsetH local standard time against universal time, h
   * @param files where it is read, or has been
   * @throws InputException when the file is not as it should be
   */
  public static LoadProfile hourly(
      Site.ProfileLoad profile, double standardOffsetH, DataFiles files) {
    try {
      return files.hourly(
          Path.of(profile.file()), profile.column(), profile.factor(), standardOffsetH);
    } catch (DataFileException e) {
      throw badFile(e);
    }
  }

  /** The same complaint as one of the input. */
  static InputException badFile(DataFileException e) {
    return new InputException(
        List.of(
            new Problem(
                e.file(),
                e.line(),
                e.field(),
                e.found(),
                e.allowed(),
                "Give a file in the stated format.")));
  }
}
