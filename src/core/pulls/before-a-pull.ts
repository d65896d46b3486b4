/** Name of the list in the book; a list of the same name that a shop wrote takes the place of this one. */
export const BEFORE_A_PULL = "before a pull";

/** Gone through before every pull, beneath the facility's own rules. @source common-practice; cautions CA-07 to CA-13 */
export const BEFORE_A_PULL_ITEMS: readonly string[] = [
  "The facility's rules read; where they differ from this list they are right",
  "Vehicle held by rated straps at two points and against walking sideways, free wheels chocked; rechecked after the first light run",
  "Tyres: speed index, pressure, no cuts, no plugs, not over age",
  "Fan in front; coolant, oil and gearbox watched between pulls",
  "Exhaust extracted at the tailpipe, fresh air, carbon monoxide alarm worn or mounted",
  "Extinguishers for fuel and electrical fires at hand, a clear way out",
  "Hearing protection for everyone in the cell",
  "Nobody in line with or beside the rollers; one person says start and stop",
  "Who stops it, and how, agreed aloud; an emergency stop in reach",
];
