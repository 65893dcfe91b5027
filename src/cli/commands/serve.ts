import { once } from 'node:events';
import { setTimeout } from 'node:timers/promises';
import { pairingCode, watched } from '../../errors/sheetMessages.js';
import type { CommandModule } from '../command.js';
import { numberOption, settleOption } from '../settingOptions.js';

interface Options {
    port: number;
    lan?: true;
    settle: number;
    for?: number;
}

export default {
    describe:
        'pages of the newest state, the sheet that takes readings in, and a watched folder, for a browser',
    example: 'serve --for 1',
    build(command, context) {
        command
            .argument('[dir]', 'folder whose files are taken as they arrive, as by watch')
            .addOption(
                numberOption('--port <n>', 'port to listen at; 0 = a free one', {
                    low: 0,
                    high: 65_535,
                    whole: true,
                }).default(8377),
            )
            .option('--lan', 'let phones of this network in, each paired once by the code that is shown')
            .addOption(settleOption())
            .addOption(numberOption('--for <seconds>', 'end by itself after so long', { low: 0, high: 1e7 }))
            .action(async (dir: string | undefined, options: Options) => {
                const { Workshop } = await import('../../serve/workshop.js');
                const { ownAddresses } = await import('../../serve/access.js');
                const { renderUnicodeCompact } = await import('uqr');
                const { db, memory, wait } = context.options;
                const { output } = context;
                const lan = options.lan === true;
                const [own = '127.0.0.1'] = lan ? ownAddresses() : [];
                let port = options.port;
                let code = '';
                const showCode = () => {
                    const address = `http://${own}:${port}/`;
                    output.aside(
                        `${renderUnicodeCompact(`${address}#${code}`)}\n${pairingCode(address, code)}`,
                    );
                };
                const workshop = new Workshop({
                    db,
                    folder: dir ?? null,
                    port,
                    lan,
                    settleSeconds: options.settle,
                    memoryLimit: memory,
                    waitSeconds: wait || 20,
                    signal: context.signal,
                    onCode: (next) => {
                        const isFirst = code === '';
                        code = next;
                        if (!isFirst) showCode();
                    },
                    onWatched: (row) => output.aside(watched(row)),
                    warn: (text) => output.warn(text),
                });
                port = await workshop.listen();
                const rows = [{ address: `http://${own}:${port}/`, lan }];
                await output.result(rows, [], [{ title: 'open', value: 'address' }]);
                if (lan) showCode();
                if (options.for !== undefined) {
                    await setTimeout(1000 * options.for, undefined, { signal: context.signal }).catch(
                        () => undefined,
                    );
                } else if (!context.signal.aborted) await once(context.signal, 'abort');
                await workshop.close();
            });
    },
} satisfies CommandModule;
