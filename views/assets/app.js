// Improves what already works: nothing here is needed to use the ledger.

// After a form came back with mistakes or a conflict, a keyboard or screen reader starts at what needs attention.
document.querySelector('[data-focus="once"]')?.focus();

// While a plan is made, its progress is asked for every two seconds; at the end the answer is the roadmap.
const progress = document.querySelector('[data-progress="poll"]');
if (progress) {
  const ask = async () => {
    try {
      const answer = await fetch(location.href);
      if (answer.redirected) return location.replace(answer.url);
      const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
      const news = page.querySelector('[data-progress="poll"]');
      if (news) progress.replaceChildren(...news.childNodes);
    } catch {
      // The program does not answer; the link on the page asks again.
    }
    setTimeout(ask, 2000);
  };
  setTimeout(ask, 1000);
}
