import { programName } from '../../errors/programName.js';
import { shellPath } from '../../errors/words.js';
import type { CommandModule } from '../command.js';

export default {
    describe: 'write files to fill in, each with two invented example rows, and a map to start from',
    example: 'init my-data',
    build(command, context) {
        command
            .argument('<dir>', 'folder for the files; made when missing, nothing in it is overwritten')
            .action(async (folder: string) => {
                const { makeFolder } = await import('../../report/makeFolder.js');
                const { writeExamples } = await import('../../load/exampleFiles.js');
                makeFolder(folder);
                const rows = writeExamples(folder);
                const at = (name: string) => shellPath(`${folder.replace(/\/+$/, '')}/${name}`);
                const kinds = rows
                    .filter(({ kind }) => kind !== 'map' && kind !== 'export')
                    .map(({ kind }) => kind);
                await context.output.result(
                    rows,
                    [
                        'Every row in these files is invented. They load as they are, to try it out; put your own rows in their place, and leave out files that you have no use for: only readings are needed.',
                        `${programName()} load ${kinds.map((kind) => at(`${kind}.csv`)).join(' ')}`,
                        `${programName()} load --map ${at('rack.yaml')} ${at('rack.csv')}`,
                        "Rows that were tried out stay in the database: start a new one (--db FILE, or delete strutmark.duckdb) for your own. What a column means stands in shared/README.md of the program's folder.",
                    ],
                    [
                        { title: 'file', value: 'file' },
                        { title: 'kind', value: 'kind' },
                        { title: 'example rows', value: 'row_count', digits: 0 },
                    ],
                );
            });
    },
} satisfies CommandModule;
