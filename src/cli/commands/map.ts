import type { PreviewRow } from '../../contracts/results/map.js';
import { mapAsks, mapPreview, mapUnwritten } from '../../errors/messages.js';
import type { CommandModule } from '../command.js';
import { type TableColumn, visible } from '../output.js';

/** Columns that differ from row to row, and what stands in all rows alike. */
function split(preview: readonly PreviewRow[]): { names: string[]; same: string[] } {
    const names = Object.keys(preview.find(({ problem }) => problem === null)?.values ?? {});
    const distinct = (name: string) => new Set(preview.map(({ values }) => values[name]));
    const isSame = (name: string) => preview.length > 1 && distinct(name).size === 1;
    return {
        names: names.filter((name) => !isSame(name)),
        same: names
            .filter((name) => isSame(name) && preview[0]!.values[name] !== null)
            .map((name) => `${name} ${preview[0]!.values[name]}`),
    };
}

function shown(value: string | number | null | undefined): string | number | null {
    return typeof value === 'number' ? Number(value.toFixed(3)) : (value ?? null);
}

export default {
    describe: 'a first guess of how to read a file of readings that is not in our format',
    example: 'map export.csv --to shop.yaml',
    build(command, context) {
        command
            .argument('<file>', 'a file of readings as it comes')
            .option('--to <yaml>', 'write the map to this file, for load --map')
            .action(async (file: string, options: { to?: string }) => {
                const { draftMap } = await import('../../load/map/draftMap.js');
                const { output } = context;
                const { asked, ...row } = draftMap(file, options.to);
                const { preview, questions, map_file } = row;
                if (context.options.json) return await output.result([row], [], []);
                if (map_file === null) output.document(row.map.trimEnd());
                const { names, same } = split(preview);
                const columns: TableColumn<PreviewRow>[] = [
                    { title: 'line', value: 'line' },
                    ...names.map((name) => ({
                        title: asked.includes(name) ? `${name}?` : name,
                        value: ({ values }: PreviewRow) => shown(values[name]),
                    })),
                    ...(preview.some(({ problem }) => problem !== null)
                        ? [{ title: 'set aside', value: ({ problem }: PreviewRow) => problem }]
                        : []),
                ];
                await output.result(
                    preview,
                    [
                        mapPreview(same.map(visible), asked.length > 0),
                        mapAsks(questions, map_file),
                        ...(map_file === null ? [mapUnwritten(file)] : []),
                    ],
                    columns,
                );
            });
    },
} satisfies CommandModule;
