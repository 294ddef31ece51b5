package islet.bench.campaign;

import java.util.List;

/** Each planted defect in its scenario, then Islet's own supervisor in the same. */
final class PlantedCases implements Cases {

  private final List<Campaign.Plant> plants;

  PlantedCases(Campaign.Planted planted) {
    plants = planted.plants();
  }

  @Override
  public long count() {
    return 2L * plants.size();
  }

  /** The defect that a case is run with. */
  Campaign.Plant plant(long number) {
    return plants.get((int) (number / 2));
  }

  /** Whether a case is run with the defect, and not with Islet's own supervisor. */
  static boolean defective(long number) {
    return number % 2 == 0;
  }

  @Override
  public CampaignCase of(long number, long id) {
    Campaign.Plant plant = plant(number);
    return new CampaignCase(
        id,
        plant.course(),
        "",
        defective(number) ? plant.defect() : "no defect",
        List.of(),
        List.of());
  }
}
