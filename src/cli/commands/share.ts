import type { CommandModule } from '../command.js';

export default {
    describe: 'write what pooled fits need to a .parquet file, cars under pseudonyms, for merge elsewhere',
    example: 'share --to site.parquet',
    build(command, context) {
        command
            .requiredOption('--to <file>', 'file to write; its name ends in .parquet')
            .option(
                '--key <file>',
                'secret that makes the pseudonyms and stays here; made at first use (default: the database file with .key behind it)',
            )
            .action(async (options: { to: string; key?: string }) => {
                const { withModel } = await import('../withModel.js');
                const { stagingFolder } = await import('../../export/exportTable.js');
                const { requireParquet, shareNeeds, writeShare } = await import('../../share/writeShare.js');
                const { shareNotes } = await import('../../share/shareNotes.js');
                const { rmSync } = await import('node:fs');
                requireParquet(options.to);
                const { output } = context;
                const keyFile = options.key ?? `${context.options.db}.key`;
                const staging = stagingFolder(options.to);
                try {
                    const { key, row } = await withModel(
                        context,
                        async () => ({
                            needs: shareNeeds(),
                            ask: (db) => writeShare(db, keyFile, options.to, staging),
                        }),
                        { paths: [staging] },
                    );
                    if (key.warning !== null) output.warn(key.warning);
                    await output.result([row], shareNotes(row, keyFile, key.isNew), [
                        { title: 'file', value: 'file' },
                        { title: 'kB', value: (r) => r.byte_count / 1000, digits: 0 },
                        { title: 'cars', value: 'vehicle_count', digits: 0 },
                        { title: 'moves', value: 'move_count', digits: 0 },
                        { title: 'states', value: 'state_count', digits: 0 },
                        { title: 'chassis', value: (r) => r.chassis.length, digits: 0 },
                    ]);
                } finally {
                    rmSync(staging, { recursive: true, force: true });
                }
            });
    },
} satisfies CommandModule;
