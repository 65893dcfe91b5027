import type { IncomingMessage } from 'node:http';
import { expect, test } from 'vitest';
import { Access, Pairing, Rate } from '../../src/serve/access.js';

const own = '127.0.0.1:8377';

function asked(fields: {
    method?: string;
    url?: string;
    from?: string;
    headers?: Record<string, string>;
}): IncomingMessage {
    const { method = 'GET', url = '/sheet.html', from = '127.0.0.1', headers = {} } = fields;
    return {
        method,
        url,
        headers: { host: own, ...headers },
        socket: { remoteAddress: from },
    } as unknown as IncomingMessage;
}

const post = {
    method: 'POST',
    url: '/rows',
    headers: { origin: `http://${own}`, 'content-type': 'application/json' },
};

test('this machine gets in by its own names; a name that was rebound, another site and data in addresses do not', () => {
    const access = new Access(8377, null);
    const status = (fields: Parameters<typeof asked>[0]) =>
        access.refusal(asked(fields), false)?.status ?? 200;
    expect(status({})).toBe(200);
    expect(status({ headers: { host: 'localhost:8377' } })).toBe(200);
    for (const host of [
        'evil.example:8377',
        '127.0.0.1:80',
        '127.0.0.1',
        '127.0.0.1.evil.example:8377',
        '',
        '192.0.2.7:8377',
    ]) {
        expect(status({ headers: { host } }), host).toBe(421);
    }
    expect(status({ headers: { 'sec-fetch-site': 'cross-site' } })).toBe(403);
    expect(status({ headers: { 'sec-fetch-site': 'same-site' } })).toBe(403);
    expect(status({ url: '/sheet.html?vehicle=A' })).toBe(400);
    expect(status({ method: 'PUT' })).toBe(405);
    expect(status(post)).toBe(200);
    for (const origin of [
        'http://evil.example',
        'null',
        'http://localhost:8377',
        `https://${own}`,
        `http://${own}.evil.example`,
    ]) {
        expect(status({ ...post, headers: { ...post.headers, origin } }), origin).toBe(403);
    }
    expect(status({ ...post, headers: { 'content-type': 'application/json' } })).toBe(403);
    // What a form of another page can send without being asked.
    expect(status({ ...post, headers: { ...post.headers, 'content-type': 'text/plain' } })).toBe(415);
});

test('a phone is paired by the code that is shown, once; wrong codes change it', () => {
    const codes: string[] = [];
    const pairing = new Pairing((code) => codes.push(code));
    const access = new Access(8377, pairing);
    const phone = (cookie?: string) =>
        access.refusal(asked({ from: '192.0.2.9', headers: cookie === undefined ? {} : { cookie } }), false)
            ?.status ?? 200;
    expect(phone()).toBe(401);
    expect(access.refusal(asked({ ...post, url: '/pair', from: '192.0.2.9' }), true)).toBeNull();
    expect(codes[0]).toMatch(/^[A-Z2-9]{4}-[A-Z2-9]{4}$/);
    const secret = pairing.pair(codes[0]!.toLowerCase().replace('-', ' '))!;
    expect(phone(`a=b; strutmark=${secret}`)).toBe(200);
    expect(phone(`strutmark=${secret.slice(1)}a`)).toBe(401);
    expect(pairing.pair(codes[0]!)).toBeNull();
    expect(codes).toHaveLength(2);
    for (let i = 0; i < 4; i++) expect(pairing.pair('AAAA-AAAA')).toBeNull();
    expect(codes).toHaveLength(3);
    expect(pairing.pair(codes[1]!)).toBeNull();
});

test('rates: so many in a minute, then a wait', () => {
    let now = 0;
    const rate = new Rate(3, () => now);
    expect([1, 2, 3, 4].map(() => rate.allows('a'))).toEqual([true, true, true, false]);
    expect(rate.allows('b')).toBe(true);
    now = 60_001;
    expect(rate.allows('a')).toBe(true);
});
