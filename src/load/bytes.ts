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

/** What a byte means between two ordinary ones; 0 = ordinary. */
export const role = { comma: 1, lineEnd: 2, quote: 3, control: 4 } as const;

export const roleOf = new Uint8Array(256);
for (let code = 0; code < byte.space; code++) roleOf[code] = role.control;
roleOf[byte.delete] = role.control;
roleOf[byte.tab] = 0;
roleOf[byte.lf] = role.lineEnd;
roleOf[byte.cr] = role.lineEnd;
roleOf[byte.comma] = role.comma;
roleOf[byte.quote] = role.quote;

/** 1 for a byte that may be white space at the edge of a cell: space, tab, either byte of a no-break space. */
export const maybeBlank = new Uint8Array(256);
for (const code of [byte.space, byte.tab, byte.nbspLead, byte.nbsp]) maybeBlank[code] = 1;
