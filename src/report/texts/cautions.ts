/** A caution where the work is: a heading and what to keep to. Nothing here replaces the maker's instructions or the law of the place. */
export interface Caution {
  readonly title: string;
  readonly lines: readonly string[];
}

export const ENGLISH_CAUTIONS = {
  first: {
    title: "Local rules and licensed practice come first",
    lines: [
      "Where a local code, the maker of the vehicle or of the dynamometer, the insurer or a licensed person says otherwise, they are right and this page is wrong.",
      "These are proposals. Nothing has been written to the vehicle; a person who knows it decides, writes and answers for it.",
      "Repair first. A leak, a tired pump or a worn throttle that is hidden in a table comes back as damage.",
    ],
  },
  owner: {
    title: "Before you drive",
    lines: [
      "Local rules, the maker's instructions and a licensed workshop come before this page.",
      "A changed calibration can end warranty, insurance cover or road approval. Tell your insurer, and ask the authority or a licensed inspector where you live.",
      "A repair that is named here is not done until it is done: drive gently until then.",
    ],
  },
  law: {
    title: "Emission equipment and the law",
    lines: [
      "In many places it is unlawful to remove or disable emission equipment, or to make, sell or fit parts or software that defeat it; owners and shops are both bound, and “for competition only” is no safe answer for a certified road vehicle. In the United States see Clean Air Act section 203(a)(3), 42 U.S.C. 7522(a)(3), and 40 CFR 1068.101(b); states add their own rules.",
      "European type approval forbids defeat devices save for narrow exceptions: Regulation (EC) 715/2007, article 5(2). In the United Kingdom see regulation 61A(3) of the Construction and Use Regulations. Many countries end road approval or insurance when power or emissions change without inspection.",
      "Ask the authority or a licensed inspector before a change, not after, and keep the records that show emissions did not get worse. This report neither silences a monitor nor treats a missing catalyst as normal.",
    ],
  },
  pulls: {
    title: "Before the next pull",
    lines: [
      "Rated straps at two points of the driven end and one against walking sideways, fixed to structure and not to moving suspension arms; free wheels chocked; all rechecked after the first light run.",
      "Nobody in line with or beside turning wheels and rollers. One person calls start and stop; an emergency stop in reach; clear sight of the driver.",
      "Tyres of a speed index above the test, right pressure, sound and not over age. Let rollers stop before anyone comes near.",
      "Extract exhaust at the tailpipe and supply fresh air, with a carbon-monoxide alarm worn or mounted. Headache or dizziness: everybody out.",
      "Hearing protection for everyone in the cell. Extinguishers for liquid fuel and electrical fire at hand, and a clear way out.",
      "A fan is not road speed: let coolant, oil, intake and transmission temperatures settle between pulls. The facility's own rules come before these.",
    ],
  },
  load: {
    title: "High load",
    lines: [
      "Come up in steps: idle, light cruise, part load, full load; fuel on the rich side, spark on the safe side, one change at a time.",
      "Lift at once when lambda is leaner than its target by more than 5 % at any moment (3 % in two pulls, or once under boost), when retard above 3° repeats in a cell or knock is heard, when injector duty passes 90 %, or when rail pressure falls by more than 20 kPa.",
      "No further pull until the cause is known. Limits of speed, pressure and torque are not raised because a table has room.",
      "A wide-range sensor can lie: exhaust leak, misfire, age, cold, a scale for other fuel. Cross-check before trusting a surprising reading.",
    ],
  },
  writing: {
    title: "Before these tables go into a controller",
    lines: [
      "At least 12.5 V for the whole time from a clean supply that can carry the current; lamps, fans and blowers off; fuses of added alarm and audio equipment out.",
      "Keep the calibration as received, with its checksum and identification, in two places. Check that the new one belongs to this hardware and software. Stay with the transfer; do not interrupt it.",
      "Only with the owner's written consent, and after saying what it does to warranty and approval. Afterwards clear codes, do the relearns, and record again.",
    ],
  },
  road: {
    title: "Recording on the road",
    lines: [
      "The driver drives. A second person runs the laptop, or recording starts before the drive and is looked at after stopping. Fasten the laptop; no cable near the pedals.",
      "Public roads are not for full-load sweeps: obey limits, use a dynamometer or a closed course.",
      "Positions, speeds and identification numbers are personal data: take them out before sharing a recording.",
    ],
  },
  fuel: {
    title: "Fuel",
    lines: [
      "A calibration is safe only on the fuel it was made for, or better. Write it in the handover and beside the filler.",
      "Gasoline gives off vapour that ignites at any working temperature: relieve pressure before opening a line, no ignition sources, gloves and eye protection, catch what drains.",
      "Blends rich in ethanol vary by season and place: measure. Such flames are hard to see in daylight.",
    ],
  },
} as const satisfies Record<string, Caution>;
