import { setTimeout } from 'node:timers/promises';
import type { WatchRow } from '../../contracts/results/watch.js';
import { watchEnds, watched } from '../../errors/sheetMessages.js';
import type { CommandModule } from '../command.js';
import type { TableColumn } from '../output.js';
import { settleOption } from '../settingOptions.js';

const columns: TableColumn<WatchRow>[] = [
    { title: 'file', value: 'file' },
    { title: 'now', value: 'moved_to' },
    { title: 'new', value: 'loaded_count', digits: 0 },
    { title: 'known', value: 'duplicate_count', digits: 0 },
    { title: 'set aside', value: 'rejected_count', digits: 0 },
];

const PAUSE_MS = 500;

export default {
    describe: 'take the files of a folder as they arrive, each once it is whole',
    example: 'watch inbox --once',
    build(command, context) {
        command
            .argument('<dir>', 'folder; files go on to taken/ or, with their rejects beside, to set-aside/')
            .addOption(settleOption())
            .option('--once', 'end when nothing is left, instead of waiting for more')
            .addHelpText(
                'after',
                '\nFolders right below DIR are watched too. Where one holds a map.yaml, its files are read by that map: DIR/rack-1/map.yaml.\nA file that grows after it was taken is taken again; its rows count once.',
            )
            .action(async (dir: string, options: { settle: number; once?: true }) => {
                const { FolderWatch } = await import('../../load/watch/watchFolder.js');
                const { opening } = await import('../opening.js');
                const { output } = context;
                const watch = new FolderWatch(dir, context.options.db, {
                    settleSeconds: options.settle,
                    warn: (text) => output.warn(text),
                    load: opening(context),
                });
                const rows: WatchRow[] = [];
                try {
                    while (!context.signal.aborted && !(options.once && watch.isEmpty)) {
                        const news = await watch.look();
                        for (const row of news) output.say(watched(row));
                        rows.push(...news);
                        if (options.once && watch.isEmpty) break;
                        await setTimeout(PAUSE_MS, undefined, { signal: context.signal });
                    }
                } catch (error) {
                    if (!context.signal.aborted) throw error;
                }
                await output.result(rows, [watchEnds(rows)], context.options.json ? columns : []);
                if (rows.some(({ rejected_count, reason }) => rejected_count > 0 || reason !== null)) {
                    context.setExitCode(3);
                }
            });
    },
} satisfies CommandModule;
