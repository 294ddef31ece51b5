/** Physics only: irradiance to DC, battery, bus, converters, panels, loads and utility. */
package islet.plant;
