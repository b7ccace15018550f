// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.Proxy;
import java.sql.Connection;
import java.sql.PreparedStatement;
import org.jspecify.annotations.Nullable;

/**
 * Text without U+0000, which PostgreSQL does not take: an alarm is not lost for a character in its
 * tank's name. It becomes U+FFFD, as what cannot be read does elsewhere. What people enter is
 * refused before, where it is entered.
 */
final class PlainText {

  private PlainText() {}

  /** A connection whose statements take any text. */
  static Connection in(Connection connection) {
    return proxy(
        Connection.class,
        (method, arguments) -> {
          Object result = call(method, connection, arguments);
          return result instanceof PreparedStatement statement ? in(statement) : result;
        });
  }

  private static PreparedStatement in(PreparedStatement statement) {
    return proxy(
        PreparedStatement.class,
        (method, arguments) -> {
          if (method.getName().startsWith("set") && arguments != null && arguments.length > 1) {
            arguments[1] = arguments[1] instanceof String text ? plain(text) : arguments[1];
          }
          return call(method, statement, arguments);
        });
  }

  private static String plain(String text) {
    return text.replace('\0', '\uFFFD');
  }

  private interface Calling {
    @Nullable Object call(Method method, @Nullable Object @Nullable [] arguments) throws Throwable;
  }

  private static <T> T proxy(Class<T> type, Calling calling) {
    return type.cast(
        Proxy.newProxyInstance(
            type.getClassLoader(),
            new Class<?>[] {type},
            (self, method, arguments) -> calling.call(method, arguments)));
  }

  private static @Nullable Object call(
      Method method, Object target, @Nullable Object @Nullable [] arguments) throws Throwable {
    try {
      return method.invoke(target, arguments);
    } catch (InvocationTargetException e) {
      throw e.getCause() == null ? e : e.getCause();
    }
  }
}
