import type { Book } from '../book.js';
import { byId } from './dom.js';
import { openKeep } from './keep.js';
import { listen } from './listen.js';
import { Sheet } from './sheet.js';
import { fillChoices, showKept, view } from './show.js';

const book = JSON.parse(byId('book').textContent!) as Book;

const keptWords = {
    database: '',
    storage: '',
    nowhere: `This device keeps nothing of this page: what is typed is gone when it is closed. Save before that, or open the sheet from the computer of the workshop (${book.program} serve --lan).`,
} as const;

async function start(): Promise<void> {
    fillChoices(book);
    const keep = await openKeep(book.book, book.sheet);
    showKept(keptWords[keep.kept]);
    const sheet = new Sheet(book, view, keep, await keep.visits(), await keep.rows());
    listen(sheet);
    sheet.show();
    document.body.dataset.ready = keep.kept;
}

void start();
