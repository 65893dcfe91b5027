// Runs the packed program, whose script is named, once for each message { words, cwd, columns }, and answers how it ended and what it
// said; `columns`: on a terminal of that width.
import { pathToFileURL } from 'node:url';

const main = process.argv[2];
const streams = ['stdout', 'stderr'];
const said = { stdout: '', stderr: '' };
for (const name of streams) {
    process[name].write = (text, ...more) => {
        said[name] += text;
        more.find((each) => typeof each === 'function')?.();
        return true;
    };
}

let count = 0;
process.on('message', async ({ words, cwd, columns }) => {
    process.chdir(cwd);
    Object.assign(process.stdout, { isTTY: columns !== undefined, columns });
    process.argv = [process.execPath, main, ...words];
    process.exitCode = undefined;
    for (const name of streams) said[name] = '';
    count += 1;
    // The script is run anew under each address; what it imports is read once.
    await import(`${pathToFileURL(main)}?${count}`);
    for (const signal of ['SIGINT', 'SIGTERM']) process.removeAllListeners(signal);
    for (const name of streams) process[name].removeAllListeners('error');
    const status = process.exitCode;
    process.exitCode = undefined;
    process.send({ status, ...said });
});
