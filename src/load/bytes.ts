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

/** How the cells of a file are set apart: one ASCII character, and whether quotation marks enclose a cell. */
export interface Dialect {
    delimiter: string;
    quoted: boolean;
}

/** What every file has that comes without a map. */
export const ourDialect: Dialect = { delimiter: ',', quoted: true };

/** The mark of each byte; 0 = ordinary. Either byte of a no-break space may be blank. */
export function marksOf({ delimiter, quoted }: Dialect): Uint8Array {
    const marks = new Uint8Array(256);
    for (let code = 0; code < byte.space; code++) marks[code] = mark.control;
    marks[byte.delete] = mark.control;
    marks[byte.lf] = mark.lineEnd;
    marks[byte.cr] = mark.lineEnd;
    if (quoted) marks[byte.quote] = mark.quote;
    for (const code of [byte.space, byte.tab, byte.nbspLead, byte.nbsp]) marks[code] = mark.blank;
    marks[delimiter.charCodeAt(0)] = mark.comma;
    return marks;
}
