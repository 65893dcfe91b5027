/** Median of `values`, the mean of the middle two where their number is even (type 7 quantile); null of none. Sorts in place. */
export function median(values: Float64Array): number | null {
    if (values.length === 0) return null;
    values.sort();
    const middle = values.length >> 1;
    return values.length % 2 === 1 ? values[middle]! : (values[middle - 1]! + values[middle]!) / 2;
}
