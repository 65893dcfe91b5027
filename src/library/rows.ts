/** The rows of answers. */
export type { AdviseRow } from '../contracts/results/advise.js';
export type { AuditRow, CallBackRow } from '../contracts/results/audit.js';
export type { CheckRow } from '../contracts/results/check.js';
export type { ClockingRow } from '../contracts/results/clocking.js';
export type { DriftRow, UnrecordedRow } from '../contracts/results/drift.js';
export type { ExportRow } from '../contracts/results/export.js';
export type { GaugeRow } from '../contracts/results/gauges.js';
export type { HistoryRow } from '../contracts/results/history.js';
export type { LoadRow } from '../contracts/results/load.js';
export type { PlanRow } from '../contracts/results/plan.js';
export type { RangeRow } from '../contracts/results/range.js';
export type { ReportRow } from '../contracts/results/report.js';
export type { ReturnRow } from '../contracts/results/returns.js';
export type { MarkRow, SlopeRow } from '../contracts/results/slopes.js';
export type { StackRow } from '../contracts/results/stack.js';
