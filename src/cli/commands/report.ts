import type { CommandModule } from '../command.js';

export default {
    describe: 'pages with the pictures: one self-contained file each, or all of them',
    build(command, context) {
        command
            .argument('[names...]', 'pages to write; none = all that need no choice')
            .requiredOption('--out <dir>', 'folder for the pages; made when missing')
            .action(async (names: string[], options: { out: string }) => {
                const { withModel } = await import('../withModel.js');
                const { writeReports } = await import('../../report/writeReports.js');
                const rows = await withModel(command, context, (db) => writeReports(db, names, options.out));
                context.output(command).result(
                    'report',
                    rows,
                    [],
                    [
                        { title: 'page', value: (row) => row.name },
                        { title: 'file', value: (row) => row.file },
                        { title: 'kB', value: (row) => row.bytes / 1000, digits: 0 },
                    ],
                );
            });
    },
} satisfies CommandModule;
