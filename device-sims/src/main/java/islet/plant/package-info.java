/**
 * Physics only: irradiance to DC, battery, bus, converters, panels, loads and utility.
 *
 * <p>Everything here is truth, in SI units, as the physics has it. The package knows no message, no
 * site file and no device logic: devices set actuators on {@link islet.plant.Plant} and read its
 * signals, faults change its parameters, and the bench judges by it. The equations, their sources
 * and ranges of validity are written out in {@code docs/model.md}.
 *
 * <p>Nothing here asks for the time, draws an unseeded random number or allocates while stepping.
 * Transcendental functions come from {@link StrictMath}, so that two Java versions give the same
 * bits.
 */
package islet.plant;
