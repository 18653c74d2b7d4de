import { fork } from 'node:child_process';

/** A process with all tests in it. It is given up when it shows no sign of life for long. */
export class TestProcess {
  ended = false;

  /** With a mutant, that one is on from the start. */
  constructor(bundle, mutant = -1) {
    this.child = fork(bundle, {
      env: { ...process.env, FESTOON_MUTANT: String(mutant) },
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
    });
    this.child.once('exit', () => {
      this.ended = true;
    });
  }

  ready() {
    return this.answer(({ ready }) => ready !== undefined);
  }

  /** Gives an order and waits for the answer; rejects when the process ends or shows no sign of life for `patience` ms. */
  tell(order, patience) {
    this.child.send(order);
    return this.answer(({ alive }) => alive === undefined, patience);
  }

  end() {
    this.ended = true;
    this.child.kill('SIGKILL');
  }

  answer(isAnswer, patience = PATIENCE) {
    return new Promise((resolve, reject) => {
      let timer;
      const finish = (settle, value) => {
        clearTimeout(timer);
        this.child.off('message', take);
        this.child.off('exit', gone);
        settle(value);
      };
      const wait = () => {
        clearTimeout(timer);
        timer = setTimeout(() => {
          this.end();
          finish(reject, new Error('it hangs'));
        }, patience);
      };
      const take = (message) => {
        wait();
        if (isAnswer(message)) finish(resolve, message);
      };
      const gone = () => finish(reject, new Error('it ends'));
      this.child.on('message', take);
      this.child.once('exit', gone);
      wait();
    });
  }
}

/** No single test takes nearly as long, also on a busy machine. */
const PATIENCE = 120_000;
