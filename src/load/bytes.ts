/** Bytes that the reading of a CSV file turns on. */
export const byte = {
    tab: 0x09,
    lf: 0x0a,
    cr: 0x0d,
    space: 0x20,
    quote: 0x22,
    comma: 0x2c,
    delete: 0x7f,
    nbspLead: 0xc2,
    nbsp: 0xa0,
} as const;

/** What a byte means to a CSV record, as bits, so that a run of bytes can be summed up without branching. */
export const mark = { comma: 1, blank: 2, quote: 4, lineEnd: 8, control: 16 } as const;

/** Marks from here on end a run of ordinary cells. */
export const FIRST_ENDING_MARK = mark.quote;

/** The mark of each byte; 0 = ordinary. Either byte of a no-break space may be blank. */
export const markOf = new Uint8Array(256);
for (let code = 0; code < byte.space; code++) markOf[code] = mark.control;
markOf[byte.delete] = mark.control;
markOf[byte.lf] = mark.lineEnd;
markOf[byte.cr] = mark.lineEnd;
markOf[byte.comma] = mark.comma;
markOf[byte.quote] = mark.quote;
for (const code of [byte.space, byte.tab, byte.nbspLead, byte.nbsp]) markOf[code] = mark.blank;
