/** What every page, card and answer about a strut mount carries; each a sentence or two for people. */
export const cautions = {
    spring: 'A compressed spring can kill. Use a rated spring compressor, and never loosen the shaft nut on a loaded spring.',
    manual: "Torques, single-use fasteners and procedures come from the vehicle maker's manual. This program never gives a torque.",
    clearance:
        'Check brake hose, sensor wire, tyre-to-strut and spring clearance over full steering lock and full suspension travel.',
    recheck: 'Check torques and marks again after the first drive.',
    road: "On public roads the alignment must meet the vehicle maker's limits and local rules. Have it checked by a qualified workshop.",
} as const;

/** The statement that stands under every result. */
export const estimateStatement =
    "Every number here is an estimate from readings. The vehicle maker's manual, local rules and a qualified workshop decide.";

/** The same under what rests on no reading. */
export const partsStatement =
    "Every number here is reckoned from sizes of parts as they were entered. The vehicle maker's manual, local rules and a qualified workshop decide.";

/** The cautions in a line, where the full text is a command away. */
export const shortCaution =
    'CAUTION: estimates from readings; a compressed spring can kill; torques, clearances and limits of the road come from the vehicle maker and a qualified workshop.';
