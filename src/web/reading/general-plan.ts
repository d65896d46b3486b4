export const GENERAL_PLAN_NAME = "Any controller";

/**
 * The plan that every book begins with; a person writes further ones as plain text, one line an item, a line that ends with a
 * colon a heading. Common practice, no published source.
 */
export const GENERAL_PLAN = `Before anything is connected:
Battery 12.5 V or more, and a clean supply on it that holds 13 to 14 V
Chargers that pulse, alarms and audio off or their fuses out
Ignition off, doors shut, nobody switches anything while it runs
Look into the controller's connectors: dry, no oil, no bent pins
Oil in a connector: stop, find where it wicks from, the harness may be gone
Connectors go in lightly until the screw takes; never force one
While it reads:
Method and place written down: in the vehicle or on the table
Low speed in the vehicle; high speed only out of it
Time at the start and at the end written down
Afterwards:
The file read twice, both the same
Every table written out as a sheet and brought in here
Fuses back in, the vehicle starts, no new codes`;
