// Improves what already works: nothing here is needed to use the ledger.

// After a form came back with mistakes or a conflict, a keyboard or screen reader starts at what needs attention.
document.querySelector('[data-focus="once"]')?.focus();
