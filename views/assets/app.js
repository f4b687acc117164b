// Improves what already works: nothing here is needed to use the ledger.

// After a form came back with mistakes or a conflict, a keyboard or screen reader starts at what needs attention.
document.querySelector('[data-focus="once"]')?.focus();

// A notice that was there from the start is announced by no screen reader; put in again, it is.
const notice = document.querySelector('.notice-place');
if (notice?.firstElementChild) setTimeout(() => notice.replaceChildren(...notice.childNodes), 200);

// A file is read into the text of its form here; it is never sent as a file.
for (const place of document.querySelectorAll('[data-file-into]')) {
  const text = document.getElementById(place.dataset.fileInto);
  place.hidden = false;
  place.querySelector('input').addEventListener('change', async ({ target }) => {
    const bytes = new Uint8Array((await target.files[0]?.arrayBuffer()) ?? []);
    text.value = textOf(bytes);
  });
}

// Spreadsheets write UTF-8, UTF-16 with its mark, or the code page of western Windows.
function textOf(bytes) {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

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
