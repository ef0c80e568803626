export function tallyView() { return { shown: () => {} }; }
