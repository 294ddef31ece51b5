/** The day as a linear program: what to import, export, store and give over the next hours. */
package islet.control.plan;
