// Loads CSV files into a new database, asks three questions and writes a file for draw.html:
//     node ask.mjs season.duckdb kits.csv targets.csv sessions.csv readings.csv
import { openBook, UsageError, UserError } from 'strutmark';

const [database, ...files] = process.argv.slice(2);
const book = openBook(database);
try {
    const { rows: loads } = await book.load(files);
    for (const { file, loaded_count, rejected_count } of loads)
        console.log(`${file}: ${loaded_count} rows loaded, ${rejected_count} set aside`);

    const { rows: slopes } = await book.slopes();
    for (const row of slopes.filter(({ response, axis }) => response === 'camber_deg' && axis === 'out'))
        console.log(`${row.chassis}: ${row.shrunk_deg_per_mm.toFixed(3)} deg of camber per mm outboard`);

    const { notes, lead } = await book.advise({ vehicle: 'car 1', target: 'street' });
    for (const note of notes.slice(0, lead)) console.log(note);

    const written = await book.export('slopes', { to: 'slopes.json', overwrite: true });
    console.log(`${written.file}: ${written.row_count} rows`);

    await book.history({ vehicle: 'no such car' });
} catch (error) {
    if (!(error instanceof UserError || error instanceof UsageError)) throw error;
    console.log(`${error.code}: ${error.message}`);
} finally {
    await book.close();
}
