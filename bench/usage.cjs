// Preloaded into every measured Node process: writes user and system milliseconds and peak megabytes where BENCH_USAGE says.
const { writeFileSync } = require('node:fs');

process.on('exit', () => {
    const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
    writeFileSync(process.env.BENCH_USAGE, `${userCPUTime / 1000} ${systemCPUTime / 1000} ${maxRSS / 1024}`);
});
