/**
 * The fixed-cycle scan: input image, one call into the control logic, output image. What the logic
 * decides is turned into commands with a lifetime, sent at once when they change and again at every
 * heartbeat.
 */
package islet.executive;
